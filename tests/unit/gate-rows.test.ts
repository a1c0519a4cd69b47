/** What the page makes of a shot's gates. */
import { expect, test } from 'vitest';
import { concernsGates, gateRows, residualShare, signed } from '../../dashboards/src/text/gate-rows.ts';
import type { Shot } from '../../protocol/index.ts';
import { GATES } from '../support/fake-rig.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { known } from '../support/known.ts';

const told = (shot: Shot, gates = GATES): readonly string[] =>
  gateRows(shot, gates).map(({ name, verdict, leftOut }) =>
    [name, verdict, ...leftOut.map(({ reason, count }) => `${count} ${reason}`)].join(', '),
  );
const without = (shot: Shot, ...names: readonly string[]): Shot => ({
  ...shot,
  passages: shot.passages.filter(({ gate }) => !names.includes(gate)),
  edges: shot.edges.filter(({ gate }) => !names.includes(gate)),
});

test('each gate of the rig has its row, in the rig’s order, whatever it saw', () => {
  const shot = fakeShot({ number: 1, rejectedGate: 'B1', fragment: true });
  expect(told(without(shot, 'A2'))).toEqual([
    'A1, used, 2 ahead of the projectile',
    'A2, saw nothing',
    'B1, rejected, 2 disagrees with all other gates',
    'B2, used',
  ]);
  expect(gateRows(without(shot, 'A2'), GATES).map(({ positionM }) => positionM)).toEqual([1.5, 2.5, 9, 10]);
});

test('where the rig is not known, those that are heard of, in the order of the flight', () => {
  const shot = fakeShot({ number: 1, rejectedGate: 'A2' });
  expect(told(without(shot, 'B2'), [])).toEqual(['A1, used', 'A2, rejected, 2 disagrees with all other gates', 'B1, used']);
});

test('edges without a passage, and a passage that is known in part', () => {
  const shot = fakeShot({ number: 1, fragment: true });
  const [, second, ...rest] = shot.passages;
  const { occlusionS: _, ...inPart } = known(second);
  expect(told({ ...shot, passages: [inPart, ...rest] })).toEqual([
    'A1, no passage, 2 ahead of the projectile',
    'A2, used in part',
    'B1, used',
    'B2, used',
  ]);
});

test('a residual without its uncertainty, or over none, has no share', () => {
  const passage = { gate: 'A1', pair: 'A', positionM: 1.5, timeS: 0.02, residualS: 2e-7 };
  expect(residualShare(passage)).toBeUndefined();
  expect(residualShare({ ...passage, timeStandardUncertaintyS: 0 })).toBeUndefined();
  expect(residualShare({ ...passage, timeStandardUncertaintyS: 4e-7 })).toBe(0.5);
});

test.each([
  [0.384, '+0.38'],
  [-0.384, '−0.38'],
  [-0.004, '0.00'],
  [0, '0.00'],
])('%f is shown as %s', (value, text) => expect(signed(value, 2)).toBe(text));

test('a flag that is not about gates leaves the table folded', () => {
  expect(concernsGates(fakeShot({ number: 1, flags: ['air-stale', 'drag-not-resolved', 'fetched-late'] }))).toBe(false);
  for (const flag of ['gate-rejected', 'gate-doubtful', 'gate-missed', 'edges-rejected'] as const)
    expect(concernsGates(fakeShot({ number: 1, flags: ['air-stale', flag] })), flag).toBe(true);
});
