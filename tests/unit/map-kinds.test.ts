/** Which shots make one map, and why others do not. */
import { expect, test } from 'vitest';
import { mapGroups } from '../../host/analysis/map/index.ts';
import { mapBook } from '../../host/analysis/next-shot/index.ts';
import { summarise } from '../../host/rig/index.ts';
import type { MapSource } from '../../protocol/index.ts';
import { HERON_RIG } from '../support/heron.ts';

const RIG = summarise(HERON_RIG);
const SESSIONS = [
  { id: 'one', rig: RIG },
  { id: 'two', rig: { ...RIG, projectile: { ...RIG.projectile, name: 'gelatine ball 60 mm', massKg: 0.12 } } },
  { id: 'old', rig: { ...RIG, launcher: undefined } as unknown as typeof RIG },
];

const shot = (id: string, changes: Partial<MapSource> = {}): MapSource => ({
  id,
  sessionId: 'one',
  rigName: 'Heron',
  projectile: RIG.projectile.name,
  firedAt: `2031-05-04T09:${id.padStart(2, '0')}:00.000000Z`,
  flags: [],
  muzzleVelocityMps: { value: 390, standardUncertainty: 0.08 },
  reservoirPressurePa: { value: 1.3e6, standardUncertainty: 7510 },
  barrelPressurePa: { value: 4.2e3, standardUncertainty: 151 },
  reservoirTemperatureK: { value: 288, standardUncertainty: 0.5 },
  air: { temperatureK: { value: 284, standardUncertainty: 0.5 }, pressurePa: { value: 98_400, standardUncertainty: 60 } },
  ...changes,
});

test('each kind of projectile has its own map, the newest first; a shot that cannot be used is named with the reason', () => {
  const { muzzleVelocityMps: _v, ...noVelocity } = shot('2');
  const { reservoirPressurePa: _p, ...noFill } = shot('3');
  const { barrelPressurePa: _b, ...noBarrel } = shot('4');
  const { groups, without } = mapGroups(
    [
      shot('9', { sessionId: 'two', projectile: 'gelatine ball 60 mm' }),
      shot('1'),
      noVelocity,
      noFill,
      noBarrel,
      shot('5', { exclusion: { reason: 'film torn', who: 'Wren' } }),
      shot('6', { flags: ['reservoir-stale'] }),
      shot('7', { flags: ['faster-than-possible'] }),
      shot('8', { sessionId: 'old' }),
      shot('10', { sessionId: 'nobody' }),
    ],
    SESSIONS,
  );
  expect(groups.map(({ projectile, problem }) => [projectile, problem.shots.map(({ id }) => id)])).toEqual([
    ['gelatine ball 60 mm', ['9']],
    [RIG.projectile.name, ['1']],
  ]);
  expect(Object.fromEntries(groups[1]?.leftOut.map(({ shotId, why }) => [shotId, why]) ?? [])).toEqual({
    2: 'it has no muzzle velocity',
    3: 'its fill was not measured',
    4: 'the pressure in its barrel was not measured',
    5: 'left out by Wren: film torn',
    6: 'its fill was read too long before the firing',
    7: 'it is faster than its gas could drive it',
  });
  expect(without.map(({ shotId }) => shotId)).toEqual(['8', '10']);
  expect(without[0]?.why).toContain('postern rebuild');
});

test("what the gauge claims is shared by all shots, and only what is beyond it is a shot's own; the limit is the rig's maximum fill", () => {
  const [group] = mapGroups([shot('1'), shot('2')], SESSIONS).groups;
  const { problem } = group ?? expect.fail();
  expect(problem.limits.reservoirPressurePaMax).toBeCloseTo(3.8e6 + 98_400, 6);
  expect(problem.reservoirGauges).toEqual([{ name: 'reservoirPressure of 2026-02-10', standardUncertaintyPa: 7500 }]);
  expect(problem.barrelGauges).toEqual([{ name: 'barrelVacuum of 2026-02-11', standardUncertaintyPa: 150 }]);
  expect(problem.shots[0]?.readingUncertainty.reservoirPressurePa).toBeCloseTo(Math.sqrt(7510 ** 2 - 7500 ** 2), 6);
});

test('without shots there is an answer in words, to every question', () => {
  const book = mapBook([], []);
  expect(book.report).toEqual({ kinds: [], without: [] });
  expect(book.expected({ reservoirPressurePa: 1e6, barrelPressurePa: 5e3 })).toMatchObject({ kind: 'refused' });
  expect(book.fillFor({ velocityMps: 300, barrelPressurePa: 5e3 })).toMatchObject({ kind: 'refused' });
  const one = mapBook([shot('1')], SESSIONS);
  expect(one.report.kinds[0]?.noMap).toBe('A map needs 4 shots at least, and there is 1.');
  expect(one.report.kinds[0]?.suggestions.length).toBeGreaterThan(0);
  expect(one.expected({ reservoirPressurePa: 1e6, barrelPressurePa: 5e3 })).toEqual({
    kind: 'refused',
    message: 'A map needs 4 shots at least, and there is 1.',
  });
});
