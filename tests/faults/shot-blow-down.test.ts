/** A shot has a blow-down only where its own valve surely opened in its own samples. */
import { expect, test } from 'vitest';
import { withBlowDown } from '../../host/pipeline/shot-blow-down.ts';
import { loadRig, type Rig } from '../../host/rig/index.ts';
import type { BlowDownEvent, Shot } from '../../protocol/index.ts';
import { known } from '../support/known.ts';
import { HERON_YAML, runVirtualRange, type VirtualOptions, type VirtualRun } from '../support/virtual-range.ts';

/** The simulated valve begins to open 2 ms after its signal. */
const OPENS_AT_S = 0.002;

const told = ({ events }: VirtualRun): readonly BlowDownEvent[] => events.flatMap((event) => (event.type === 'blow-down' ? [event] : []));

const rigOf = (text: string): Rig => {
  const loaded = loadRig(text, 'heron.yaml');
  if (!loaded.ok) throw new Error(loaded.problems[0]?.message);
  return loaded.rig;
};

/** The last closing of each shot: one that is fetched late is closed anew. */
const lastClosed = ({ shots }: VirtualRun): readonly Shot[] => [...new Map(shots.map((shot) => [shot.number, shot])).values()];

function expectOwn(shot: Shot): void {
  const { openedAtS, pressureDropPa, energyDrawnJ, efficiency } = shot.blowDown as NonNullable<Shot['blowDown']>;
  expect(Math.abs(openedAtS.value - OPENS_AT_S)).toBeLessThan(4 * openedAtS.standardUncertainty + 0.5e-3);
  expect(pressureDropPa.value).toBeLessThan(shot.reservoirPressurePa?.value ?? 0);
  expect(energyDrawnJ.value).toBeGreaterThan(shot.muzzleEnergyJ?.value ?? 0);
  expect(efficiency?.value).toBeCloseTo((shot.muzzleEnergyJ?.value ?? Number.NaN) / energyDrawnJ.value, 9);
}

test('each shot that a trigger timed has its blow-down, the same that its event tells', () => {
  const run = runVirtualRange({ seed: 21, shots: 3 });
  expect(run.shots.map(({ firedBy }) => firedBy)).toEqual(['trigger', 'trigger', 'trigger']);
  for (const shot of run.shots) {
    expectOwn(shot);
    const {
      type: _type,
      atNs: _atNs,
      words,
      shotId: _shotId,
      ...numbers
    } = told(run).find(({ shotId }) => shotId === shot.id) as BlowDownEvent;
    expect(numbers).toEqual(shot.blowDown);
    expect(words).toContain('after the firing');
  }
});

test('a shot that its own blow-down timed has that one, and one that a gate timed has none', () => {
  const seed = 22;
  const whole = runVirtualRange({ seed, shots: 2 });
  const noTrigger = HERON_YAML.replace(/^ *trigger: .*$/gm, '');
  const collapse = runVirtualRange({ seed, shots: 2, rigText: noTrigger });
  expect(collapse.shots.map(({ firedBy }) => firedBy)).toEqual(['blow-down', 'blow-down']);
  for (const [i, shot] of collapse.shots.entries()) {
    const { blowDown } = whole.shots[i] as Shot;
    const { value, standardUncertainty } = known(shot.blowDown).pressureDropPa;
    expect(Math.abs(value - (blowDown?.pressureDropPa.value ?? 0))).toBeLessThan(4 * standardUncertainty + 0.01 * value);
    expect(told(collapse)[i]?.words).not.toContain('after the firing');
  }
  // The same samples, timed by a gate.
  const [shot] = collapse.shots as readonly Shot[];
  expect(withBlowDown({ ...(shot as Shot), firedBy: 'first edge' }, rigOf(noTrigger), 1)[1]).toEqual([]);
  // The samples of another time: a fall before the firing, and one that begins long after.
  for (const byS of [-0.05, 0.4]) {
    const traces = (shot as Shot).traces.map((trace) => ({ ...trace, fromS: trace.fromS + byS }));
    expect(withBlowDown({ ...(shot as Shot), traces }, rigOf(noTrigger), 1)[1]).toEqual([]);
  }
});

test('with the cable out before, over or after a firing a blow-down is this shot’s or there is none', () => {
  let withOne = 0;
  let without = 0;
  for (let k = 0; k < 12; k++) {
    const seed = 30 + k;
    const plain: VirtualOptions = { seed, shots: 1 };
    const firedAtS = runVirtualRange(plain).truth[0]?.firedAtS ?? Number.NaN;
    const fromS = firedAtS - 0.6 + 0.11 * k;
    const run = runVirtualRange({ ...plain, unplugged: { fromS, toS: fromS + 2 + 2 * k }, untilS: firedAtS + 40 });
    for (const shot of lastClosed(run)) {
      if (shot.blowDown) expectOwn(shot);
      if (shot.blowDown) withOne++;
      else without++;
    }
  }
  expect(withOne).toBeGreaterThan(2);
  expect(without).toBeGreaterThan(0);
}, 120_000);
