import fc from 'fast-check';
import { expect, test } from 'vitest';
import { findPassages } from '../../host/pipeline/occlusions.ts';
import type { TimedEdge } from '../../host/pipeline/timed-edge.ts';
import { loadRig } from '../../host/rig/index.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const loaded = loadRig(HERON_YAML, 'heron.yaml');
if (!loaded.ok) throw new Error('heron.yaml');
const { gates } = loaded.rig;
const BALL = { diameterM: 0.0598, decayPerM: () => 0.009 };

/** Exponential slowing, a chord a little less than the diameter. */
function flight(velocityMps: number, decayPerM: number, chordM: number): readonly TimedEdge[] {
  const timeAt = (x: number) => 0.02 + Math.expm1(decayPerM * x) / (decayPerM * velocityMps);
  return gates.flatMap((gate, gateIndex) => [
    { gateIndex, active: true, timeS: timeAt(gate.positionM.value - chordM / 2) },
    { gateIndex, active: false, timeS: timeAt(gate.positionM.value + chordM / 2) },
  ]);
}

const flights = fc.record({
  velocityMps: fc.double({ min: 150, max: 600, noNaN: true }),
  decayPerM: fc.double({ min: 0.002, max: 0.016, noNaN: true }),
  chordM: fc.double({ min: 0.045, max: 0.0598, noNaN: true }),
});
/** Short blips: fragments and noise, anywhere. */
const blips = fc.array(
  fc.record({
    gateIndex: fc.integer({ min: 0, max: 3 }),
    fromS: fc.double({ min: 0, max: 0.12, noNaN: true }),
    lengthS: fc.double({ min: 1e-7, max: 2e-5, noNaN: true }),
  }),
  { maxLength: 12 },
);
const inOrder = (edges: readonly TimedEdge[]): readonly TimedEdge[] => [...edges].sort((a, b) => a.timeS - b.timeS);

test('a clean flight is found whole, at the right edges', () => {
  fc.assert(
    fc.property(flights, ({ velocityMps, decayPerM, chordM }) => {
      const edges = inOrder(flight(velocityMps, decayPerM, chordM));
      const found = findPassages(edges, gates, BALL);
      expect(found.map((passage) => passage.gateIndex)).toEqual([0, 1, 2, 3]);
      for (const passage of found) {
        expect(edges[passage.leadingIndex ?? -1]).toMatchObject({ gateIndex: passage.gateIndex, active: true });
        expect(edges[passage.trailingIndex ?? -1]).toMatchObject({ gateIndex: passage.gateIndex, active: false });
      }
    }),
  );
});

test('blips too short for the ball, away from its own occlusion, change nothing', () => {
  fc.assert(
    fc.property(flights, blips, ({ velocityMps, decayPerM, chordM }, noise) => {
      const ball = flight(velocityMps, decayPerM, chordM);
      const apart = noise.filter(({ gateIndex, fromS, lengthS }) => {
        const [lead, trail] = ball.filter((edge) => edge.gateIndex === gateIndex) as [TimedEdge, TimedEdge];
        return fromS + lengthS < lead.timeS - 1e-3 || fromS > trail.timeS + 1e-3;
      });
      const extra = apart.flatMap(({ gateIndex, fromS, lengthS }) => [
        { gateIndex, active: true, timeS: fromS },
        { gateIndex, active: false, timeS: fromS + lengthS },
      ]);
      const alone = findPassages(inOrder(ball), gates, BALL);
      const among = findPassages(inOrder([...ball, ...extra]), gates, BALL);
      expect(among.map((passage) => passage.timeS)).toEqual(alone.map((passage) => passage.timeS));
    }),
  );
});

test('any edges at all: never throws, never more than one passage a gate', () => {
  const edge = fc.record({
    gateIndex: fc.integer({ min: 0, max: 3 }),
    active: fc.boolean(),
    timeS: fc.double({ min: 0, max: 0.2, noNaN: true }),
  });
  fc.assert(
    fc.property(fc.array(edge, { maxLength: 60 }), (edges) => {
      const found = findPassages(inOrder(edges), gates, BALL);
      expect(new Set(found.map((passage) => passage.gateIndex)).size).toBe(found.length);
    }),
  );
});
