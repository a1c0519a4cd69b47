/** The whole host on the program that is flashed: a shot as the simulated gate board has it, from the same world, in virtual time. */
import { beforeAll, describe, expect, test } from 'vitest';
import { tenBitCount, tenBitInputs } from '../../firmware-sim/avr/analog-inputs.ts';
import { buildFirmware } from '../../firmware-sim/avr/bench/index.ts';
import { boardSpeed } from '../../firmware-sim/avr/board-speed.ts';
import { flashableBoard } from '../../firmware-sim/avr/range-board.ts';
import { rateFor } from '../../firmware-sim/range-time.ts';
import { rigFileText } from '../../firmware-sim/rig-file.ts';
import { CHANNELS } from '../../firmware-sim/world/heron.ts';
import { loadRig, type Rig } from '../../host/rig/index.ts';
import type { Result, Shot } from '../../protocol/index.ts';
import { HERON_RIG } from '../support/heron.ts';
import { known } from '../support/known.ts';
import { ORIGIN_UTC_MS, runVirtualRange, type VirtualRun } from '../support/virtual-range.ts';

const SEED = 7;
const RIG_TEXT = rigFileText({ pace: 'fast', faults: [], board: 'avr', todayMs: ORIGIN_UTC_MS });

function rigOf(text: string): Rig {
  const loaded = loadRig(text, 'heron.yaml');
  if (!loaded.ok) throw new Error(loaded.problems.map(({ message }) => message).join('\n'));
  return loaded.rig;
}

let simulated: VirtualRun;
let flashable: VirtualRun;
beforeAll(() => {
  simulated = runVirtualRange({ seed: SEED, shots: 1 });
  flashable = runVirtualRange({ seed: SEED, shots: 1, rigText: RIG_TEXT, makeGateBoard: flashableBoard(SEED).makeGateBoard });
});

/** Terms that are the board's own; all others two boards that see the same edges have in common. */
const OWN = /(stamp (delay|jitter)|tick quantisation)$|^board clock/;
const own = ({ budget }: Result): number =>
  Math.hypot(...budget.filter(({ input }) => OWN.test(input)).map(({ contribution }) => contribution));

describe('one shot on both boards', () => {
  const shots = (): readonly [Shot, Shot] => [known(simulated.shots[0]), known(flashable.shots[0])];

  test('the same is fired, and neither shot has a flag', () => {
    expect(flashable.truth).toEqual(simulated.truth);
    expect(shots().map(({ flags }) => flags)).toEqual([[], []]);
    expect(shots().map(({ edges }) => edges.map(({ gate, active, verdict }) => [gate, active, verdict]))).toSatisfy(
      ([one, other]: readonly unknown[]) => JSON.stringify(one) === JSON.stringify(other),
    );
  });

  test.each(['muzzleVelocityMps', 'targetVelocityMps', 'mach'] as const)(
    '%s: both hold the truth, and differ by no more than boards may',
    (key) => {
      const [one, other] = shots().map((shot) => known(shot[key])) as [Result, Result];
      const truth = known(simulated.truth[0]);
      const truly = { muzzleVelocityMps: truth.muzzleVelocityMps, targetVelocityMps: truth.targetVelocityMps, mach: truth.muzzleMach }[key];
      for (const { value, standardUncertainty } of [one, other]) expect(Math.abs(value - truly)).toBeLessThan(4 * standardUncertainty);
      // One difference in 16 000 is larger. What counts of the pressures lies far below that.
      expect(Math.abs(other.value - one.value)).toBeLessThan(4 * Math.hypot(own(one), own(other)));
      expect(Math.hypot(own(one), own(other))).toBeLessThan(one.standardUncertainty);
    },
  );

  test('the pressures are there, in steps of ten bits, each within its own uncertainty', () => {
    const [one, other] = shots();
    const [a, b] = [known(one.reservoirPressurePa), known(other.reservoirPressurePa)];
    expect(b.standardUncertainty).toBeGreaterThan(a.standardUncertainty);
    expect(Math.abs(b.value - known(simulated.truth[0]).reservoirPressurePa)).toBeLessThan(4 * b.standardUncertainty);
    // No burst is sent: the trace is that of 1 kHz.
    expect(other.traces.length).toBeGreaterThan(0);
    expect(other.blowDown === undefined || other.blowDown.energyDrawnJ.value > 0).toBe(true);
  });

  test('every line of it is whole, and no channel that the rig has not is complained of', () => {
    expect(flashable.events.filter(({ type }) => type === 'note')).toEqual([]);
    const counted = flashable.events.flatMap((event) => (event.type === 'wire' ? [event.counters] : []));
    expect(counted.length).toBeGreaterThan(1);
    for (const counters of counted) expect(counters).toMatchObject({ faults: {}, framesMissed: 0, edgesLost: 0, hostLinesBad: 0 });
  });
});

describe('its rig file', () => {
  test('says what its stamps and its converter are good for, and all else as Heron’s', () => {
    const rig = rigOf(rigFileText({ pace: 'real', faults: [], board: 'avr', todayMs: ORIGIN_UTC_MS }));
    const plain = rigOf(rigFileText({ pace: 'real', faults: [], todayMs: ORIGIN_UTC_MS }));
    expect(plain.gates).toEqual(HERON_RIG.gates);
    const named = CHANNELS.map(({ name }): string => name);
    const rest = ({ boards, channels, ...more }: Rig) => ({
      ...more,
      boards: boards.slice(1),
      channels: channels.filter(({ name }) => !named.includes(name)),
    });
    expect(rest(rig)).toEqual(rest(plain));
    expect(rig.boards[0]).toMatchObject({ analogBits: 10, capture: { delayS: { value: expect.closeTo(3 / 16e6, 12) } } });
    for (const { name, countsLow, countsHigh } of CHANNELS) {
      const [channel, before] = [rig, plain].map(({ channels }) => known(channels.find((each) => each.name === name)));
      const points = (known(channel).conversion as { readonly points: readonly { readonly raw: number; readonly si: number }[] }).points;
      expect(points.map(({ raw }) => raw)).toEqual([countsLow, countsHigh].map((counts) => expect.closeTo(tenBitCount(counts), 1)));
      expect(known(channel).standardUncertaintySi).toBeGreaterThan(known(before).standardUncertaintySi);
    }
  });

  test('what the converter adds stays within what the file allows it', () => {
    for (const [index, { countsLow, countsHigh, siHigh, siLow, name }] of CHANNELS.entries()) {
      const uOf = ({ channels }: Rig): number => known(channels.find((each) => each.name === name)).standardUncertaintySi;
      const converterSi = Math.sqrt(uOf(rigOf(RIG_TEXT)) ** 2 - uOf(HERON_RIG) ** 2);
      const siPerTenBit = (siHigh - siLow) / (tenBitCount(countsHigh) - tenBitCount(countsLow));
      const errors = Array.from({ length: 200 }, (_, seed) => {
        const counts = countsLow + (seed / 200) * (countsHigh - countsLow);
        const read = tenBitInputs(seed, () => Math.round(counts));
        const shown = Array.from({ length: 20 }, () => read(index, 0, 'slow')).reduce((sum, each) => sum + each, 0) / 20;
        return (shown - tenBitCount(Math.round(counts))) * siPerTenBit;
      });
      const rms = Math.sqrt(errors.reduce((sum, each) => sum + each ** 2, 0) / errors.length);
      expect(rms).toBeLessThan(converterSi);
      expect(rms).toBeGreaterThan(0.2 * converterSi);
    }
  });
});

test('how fast a machine is follows from its clock alone, and a slow one is tried for some seconds only', () => {
  const { program } = buildFirmware();
  let readings = 0;
  // A clock that moves on by so much each time that it is read: 20 ms of the board go by between two readings.
  const clock = (stepMs: number) => () => {
    readings += 1;
    return readings * stepMs;
  };
  expect(boardSpeed(program, clock(10))).toBeCloseTo(2, 0);
  readings = 0;
  expect(boardSpeed(program, clock(1000))).toBeLessThan(0.03);
  expect(readings).toBeLessThan(12);
});

test('a machine with room to spare runs in real time, a slower one at a steady share that leaves it room', () => {
  expect([3.3, 1.4].map(rateFor)).toEqual([1, 1]);
  for (const speed of [0.3, 0.5, 0.9, 1.2, 1.39]) {
    expect(rateFor(speed)).toBeLessThan(speed);
    expect(rateFor(speed)).toBeGreaterThan(0.5 * speed);
  }
  expect(rateFor(0.001)).toBe(0.05);
});
