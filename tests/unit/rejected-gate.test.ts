/** A gate that is left out still says what it measured, and how far the others find it off. */
import { describe, expect, test } from 'vitest';
import { passagesOf } from '../../host/pipeline/passages.ts';
import { reduceEdges } from '../../host/pipeline/reduce-edges.ts';
import { claimedShot } from '../support/claimed-shots.ts';
import { HERON_RIG, HERON_TEXT } from '../support/heron.ts';
import { known } from '../support/known.ts';
import { eightGateRig } from '../support/numbers/eight-gates.ts';

const RIG = eightGateRig(HERON_TEXT);
const WRONG = RIG.gates.findIndex((gate) => gate.name === 'C2');
/** Such as a delay that the rig file does not know of. */
const LATE_S = 20e-6;

describe.each([1, 2, 3, 4])('seed %i, gate C2 20 µs late', (seed) => {
  const { input } = claimedShot(RIG, { seed });
  const timed = input.timed.map((edge) => (edge.gateIndex === WRONG ? { ...edge, timeS: edge.timeS + LATE_S } : edge));
  const { screening } = reduceEdges(timed, RIG, input.air, input.time);
  const { passages, rejectedPassages } = passagesOf(screening, RIG, input.time);

  test('it is told apart from those that the fit rests on', () => {
    expect(passages.map(({ gate }) => gate)).toEqual(['A1', 'A2', 'B1', 'B2', 'C1', 'D1', 'D2']);
    expect(rejectedPassages?.map(({ gate }) => gate)).toEqual(['C2']);
  });

  test('its residual is its delay, within what its time and the others’ are known to', () => {
    const [rejected] = known(rejectedPassages);
    const u = known(rejected?.timeStandardUncertaintyS);
    expect(Math.abs(known(rejected?.residualS) - LATE_S)).toBeLessThan(5 * u);
    expect(known(rejected?.residualS) / u).toBeGreaterThan(10);
    expect(rejected?.chordM).toBeGreaterThan(0.04);
    expect(rejected?.chordM).toBeLessThan(0.0605);
  });

  test('the others are where they are when it is not there at all', () => {
    const without = timed.filter((edge) => edge.gateIndex !== WRONG);
    expect(passages).toEqual(passagesOf(reduceEdges(without, RIG, input.air, input.time).screening, RIG, input.time).passages);
  });
});

test('where no gate is left out, nothing is said of one', () => {
  const { screening, input } = claimedShot(HERON_RIG, { seed: 1 });
  const said = passagesOf(screening, HERON_RIG, input.time);
  expect(said.passages).toHaveLength(4);
  expect('rejectedPassages' in said).toBe(false);
});
