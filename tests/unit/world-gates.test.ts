/** What the inputs see of a shot, held against the flight that made it. */
import { describe, expect, test } from 'vitest';
import { moistAir } from '../../firmware-sim/world/air.ts';
import { RANGE_FAULTS, type RangeFault } from '../../firmware-sim/world/faults.ts';
import { fly } from '../../firmware-sim/world/flight.ts';
import { HERON } from '../../firmware-sim/world/heron.ts';
import { type FiringInput, fire } from '../../firmware-sim/world/shot.ts';
import { drawTrueRig } from '../../firmware-sim/world/true-rig.ts';

const firing = (seed: number, change: Partial<FiringInput> = {}) =>
  fire({
    seed,
    number: 1,
    firedAtS: 100,
    rig: drawTrueRig(seed),
    air: moistAir(285, 98e3, 0.5),
    tailwindMps: 0.7,
    reservoirPressurePa: 1.5e6,
    reservoirTemperatureK: 286,
    barrelPressurePa: 3e3,
    faults: [],
    ...change,
  });

describe('each gate gives two edges', () => {
  for (let seed = 1; seed <= 20; seed++) {
    test(`centred on the ball's passage and a chord apart, seed ${seed}`, () => {
      const { truth, edges } = firing(seed);
      const flight = fly({
        muzzleVelocityMps: truth.muzzleVelocityMps,
        elevationRad: 0,
        diameterM: truth.ballDiameterM,
        massKg: truth.ballMassKg,
        dragFactor: truth.dragFactor,
        densityKgM3: truth.air.densityKgM3,
        speedOfSoundMps: truth.air.speedOfSoundMps,
        tailwindMps: truth.tailwindMps,
        distanceM: 12,
      });
      expect(flight.at(truth.targetPositionM).speedMps).toBeCloseTo(truth.targetVelocityMps, 3);
      for (const [i, gate] of truth.gates.entries()) {
        const seen = edges.filter(({ input }) => input === i + 1);
        expect(seen.map(({ active }) => active)).toEqual([true, false]);
        const [leading, trailing] = seen.map(({ timeS }) => timeS - truth.muzzleTimeS) as [number, number];
        const passage = flight.at(gate.positionM);
        // Delay 0.1 µs, jitter 0.15 µs an edge (k = 1), and the ball slows by some 0.1 µs over its own length.
        expect(Math.abs((leading + trailing) / 2 - passage.timeS)).toBeLessThan(1e-6);
        const chordM = (trailing - leading) * passage.speedMps;
        expect(chordM).toBeLessThan(truth.ballDiameterM + 0.0005);
        expect(chordM).toBeGreaterThan(0.5 * truth.ballDiameterM);
      }
    });
  }
});

test('the trigger is active from the firing for about 50 ms', () => {
  const trigger = firing(3).edges.filter(({ input }) => input === 0);
  expect(trigger.map(({ active }) => active)).toEqual([true, false]);
  expect(Math.abs((trigger[0]?.timeS ?? 0) - 100)).toBeLessThan(2e-6);
  expect(Math.abs((trigger[1]?.timeS ?? 0) - 100.05)).toBeLessThan(2e-6);
});

test('edges come in time order and alternate on each input, with every fault on', () => {
  for (let seed = 1; seed <= 40; seed++) {
    const { edges, truth } = firing(seed, { faults: RANGE_FAULTS });
    expect(truth.faults).toEqual(RANGE_FAULTS);
    expect(edges.every((edge, i) => i === 0 || edge.timeS >= (edges[i - 1]?.timeS ?? 0))).toBe(true);
    for (let input = 0; input <= 4; input++) {
      expect(edges.filter((edge) => edge.input === input).every(({ active }, i) => active === (i % 2 === 0))).toBe(true);
    }
  }
});

describe('faults do what their names say and leave the truth alone', () => {
  const count = (fault: RangeFault): number[] =>
    Array.from({ length: 25 }, (_, seed) => {
      const [clean, faulty] = [firing(seed), firing(seed, { faults: [fault] })];
      expect({ ...faulty.truth, faults: [] }).toEqual(clean.truth);
      return faulty.edges.length - clean.edges.length;
    });

  test('missed-gate takes both edges of one gate', () => expect(new Set(count('missed-gate'))).toEqual(new Set([-2])));
  test('double-edge adds two edges', () => expect(new Set(count('double-edge'))).toEqual(new Set([2])));
  test('noise-burst adds short pulses, fewer than the board can hold', () => {
    const added = count('noise-burst');
    expect(Math.min(...added)).toBeGreaterThanOrEqual(4);
    expect(Math.max(...added)).toBeLessThan(40);
  });
  test('fragments pass gates before the ball does', () => {
    const added = count('fragments');
    expect(added.filter((n) => n > 0).length).toBeGreaterThan(20);
    for (let seed = 0; seed < 25; seed++) {
      const [clean, faulty] = [firing(seed), firing(seed, { faults: ['fragments'] })];
      for (const edge of faulty.edges.filter(({ timeS }) => !clean.edges.some((c) => Math.abs(c.timeS - timeS) < 3e-6))) {
        const ball = clean.edges.find(({ input, active }) => input === edge.input && active);
        expect(edge.timeS).toBeGreaterThan(clean.truth.firedAtS);
        expect(edge.timeS).toBeLessThan((ball?.timeS ?? 0) + 0.01);
      }
    }
  });
});

test('true gate positions and drag factors spread as the rig file claims', () => {
  const rigs = Array.from({ length: 400 }, (_, seed) => drawTrueRig(seed));
  const rms = (values: readonly number[]): number => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
  expect(rms(rigs.map((rig) => (rig.gates[0]?.positionM ?? 0) - 1.5)) / HERON.gatePositionUncertaintyM).toBeCloseTo(1, 0.7);
  expect(rms(rigs.map((rig) => rig.gates[3]?.delayS ?? 0)) / HERON.gateDelayUncertaintyS).toBeCloseTo(1, 0.7);
  expect(rms(rigs.map((rig) => rig.dragFactor - 1)) / 0.03).toBeCloseTo(1, 0.7);
});
