/** Balls dropped in the simulated world, whose fall is other code, held against gravity by what the gates saw. */
import { describe, expect, test } from 'vitest';
import { dropBall } from '../../firmware-sim/world/ball-drop.ts';
import { edgesOf } from '../../firmware-sim/world/gates.ts';
import { randomStream } from '../../firmware-sim/world/random.ts';
import { drawTrueRig, type TrueRig } from '../../firmware-sim/world/true-rig.ts';
import type { GateEdge } from '../../host/analysis/drop/index.ts';
import { dropCheck } from '../../host/analysis/drop/index.ts';
import { localGravityMps2 } from '../../host/physics/index.ts';
import type { Gate } from '../../host/rig/index.ts';
import { HERON_RIG } from '../support/heron.ts';

const [A1, A2] = HERON_RIG.gates as readonly [Gate, Gate];
const HEIGHT = { value: 0.4, standardUncertainty: 0.5e-3 };
const SETUP = {
  rig: HERON_RIG,
  gates: [A1, A2] as const,
  heightM: HEIGHT,
  gravityMps2: { value: localGravityMps2(54.7, 300), standardUncertainty: 0.5e-3 },
};
const CLOCK = { tickS: 62.5e-9, rateStandardUncertainty: 1e-6 };

type InputEdges = ReturnType<typeof edgesOf>;
const asGateEdges = (edges: InputEdges): readonly GateEdge[] =>
  edges.flatMap(({ input, active, timeS }) => {
    const gate = HERON_RIG.gates.find((one) => one.input === input)?.name;
    return gate === undefined ? [] : [{ gate, active, timeS, hardwareTimed: true }];
  });

function dropped(seed: number, drops = 3, change: (rig: TrueRig) => TrueRig = (rig) => rig): readonly GateEdge[] {
  const rig = change(drawTrueRig(seed));
  const numbers = Array.from({ length: drops }, (_, i) => i + 1);
  return numbers.flatMap((number) => asGateEdges(dropBall({ seed, number, letGoAtS: 3 * number, rig, airDensityKgM3: 1.2 })));
}

const moved =
  (byM: number) =>
  (rig: TrueRig): TrueRig => ({
    ...rig,
    gates: rig.gates.map((gate, i) => (i === 1 ? { ...gate, positionM: gate.positionM + byM } : gate)),
  });

const SEEDS = Array.from({ length: 200 }, (_, i) => i + 1);

describe('a drop through a pair', () => {
  test('honest gates agree with gravity about as often as the interval says', () => {
    const scores = SEEDS.map((seed) => dropCheck(dropped(seed), SETUP, CLOCK).found?.score ?? Number.NaN);
    expect(scores.filter((score) => Math.abs(score) <= 1).length / SEEDS.length).toBeGreaterThan(0.94);
    const mean = scores.reduce((sum, score) => sum + score, 0) / SEEDS.length;
    expect(Math.abs(mean)).toBeLessThan(0.25);
  });

  test('a beam 3 mm from where it was written down is found, and told to the millimetre', () => {
    for (const seed of SEEDS.slice(0, 40)) {
      const { found } = dropCheck(dropped(seed, 3, moved(3e-3)), SETUP, CLOCK);
      expect(Math.abs(found?.score ?? 0)).toBeGreaterThan(1);
      expect(Math.abs((found?.explainedBy.spacingM ?? 0) - 3e-3)).toBeLessThan(2e-3);
    }
  });

  test('a clock that counts half a percent too fast is found', () => {
    const fast = dropped(1).map((edge) => ({ ...edge, timeS: edge.timeS * 1.005 }));
    const { found } = dropCheck(fast, SETUP, CLOCK);
    expect(found?.score).toBeLessThan(-1);
    expect(found?.explainedBy.clockRelative).toBeCloseTo(0.005, 2.7);
  });

  test('which gate is on top does not matter: the stand may be set up either way', () => {
    const swapped = dropped(5).map((edge) => ({ ...edge, gate: edge.gate === 'A1' ? 'A2' : 'A1' }));
    const [one, other] = [dropCheck(dropped(5), SETUP, CLOCK), dropCheck(swapped, SETUP, CLOCK)];
    expect(other.found?.relativeDifference.value).toBeCloseTo(one.found?.relativeDifference.value ?? Number.NaN, 7);
    expect(other.drops.map(({ blocks }) => blocks[0].gate)).toEqual(['A2', 'A2', 'A2']);
  });

  test('a detector that lets go and trips again while the ball is in its beam changes nothing', () => {
    const edges = dropped(3);
    const chattering = edges.flatMap((edge) =>
      edge.active ? [edge, { ...edge, active: false, timeS: edge.timeS + 1e-4 }, { ...edge, timeS: edge.timeS + 3e-4 }] : [edge],
    );
    const [plain, chattered] = [edges, chattering].map((some) => dropCheck(some, SETUP, CLOCK));
    expect(chattered?.found?.score).toBeCloseTo(plain?.found?.score ?? Number.NaN, 9);
  });

  test('hands in the beams, and a gate that saw nothing, are no drops', () => {
    const hand = edgesOf(
      [
        { input: A1.input, fromS: 1, toS: 1.4 },
        { input: A2.input, fromS: 1.5, toS: 1.9 },
      ],
      randomStream(1, 'hand'),
    );
    const withHand = dropCheck([...asGateEdges(hand), ...dropped(2)], SETUP, CLOCK);
    expect(withHand.drops).toHaveLength(3);
    expect(withHand.otherBlocks).toHaveLength(2);
    const blind = dropCheck(
      dropped(2).filter(({ gate }) => gate === 'A1'),
      SETUP,
      CLOCK,
    );
    expect(blind.drops).toEqual([]);
    expect(blind.found).toBeUndefined();
    expect(blind.otherBlocks).toHaveLength(3);
    expect(dropCheck([], SETUP, CLOCK).drops).toEqual([]);
  });
});
