/** The rig file that a simulated range hands over: right for its day and its pace. */
import { expect, test } from 'vitest';
import type { FaultName } from '../../firmware-sim/faults.ts';
import { HERON_FILE, rigFileText } from '../../firmware-sim/rig-file.ts';
import { PACE_FACTOR } from '../../firmware-sim/world/procedure.ts';
import { loadRig, type Rig } from '../../host/rig/index.ts';
import { HERON_RIG } from '../support/heron.ts';

const DAY_MS = 86_400_000;

function rigOn(todayMs: number, faults: readonly FaultName[] = [], pace: 'real' | 'fast' = 'real'): Rig {
  const loaded = loadRig(rigFileText({ pace, faults, todayMs }), String(HERON_FILE));
  if (!loaded.ok) throw new Error(loaded.problems.map(({ message }) => message).join('\n'));
  return loaded.rig;
}

const dueOn = (rig: Rig, todayMs: number): readonly string[] =>
  rig.channels.flatMap(({ name, calibrationDue }) => (calibrationDue && Date.parse(calibrationDue) < todayMs ? [name] : []));

test('on any day of forty years every calibration is in the past, and none is due', () => {
  for (let todayMs = Date.UTC(2020, 0, 1); todayMs < Date.UTC(2060, 0, 1); todayMs += 97 * DAY_MS) {
    const rig = rigOn(todayMs);
    expect(dueOn(rig, todayMs + 300 * DAY_MS)).toEqual([]);
    for (const { calibratedOn } of rig.channels) if (calibratedOn) expect(Date.parse(calibratedOn)).toBeLessThanOrEqual(todayMs);
  }
});

test('calibration-due: the reservoir’s transducer was due yesterday, and it alone', () => {
  const todayMs = Date.UTC(2026, 10, 25, 9);
  expect(dueOn(rigOn(todayMs, ['calibration-due']), todayMs)).toEqual(['reservoirPressure']);
});

test('at a fast pace a fill may be as much faster, and nothing else differs', () => {
  const todayMs = Date.UTC(2026, 5, 1);
  const [real, fast] = [rigOn(todayMs), rigOn(todayMs, [], 'fast')];
  expect(real).toEqual(HERON_RIG);
  expect(fast.fill?.rateMaximumPaPerS).toBeCloseTo(PACE_FACTOR.fast * (real.fill?.rateMaximumPaPerS ?? Number.NaN), 3);
  expect({ ...fast, fill: undefined }).toEqual({ ...real, fill: undefined });
});
