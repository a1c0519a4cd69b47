/** From edges to flight: which of them are the projectile's, which to believe, and what follows from those. */
import type { Gate, Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';
import { COMMON_REASON, commonEdges } from './common-edges.ts';
import { expectedDecayPerM } from './flight-model.ts';
import type { TimeBase } from './gate-timing.ts';
import { type FoundPassage, findPassages } from './occlusions.ts';
import { type PairReduction, type Reduction, reduceFit, reducePair } from './reduction.ts';
import { type ScreenedPassage, type Screening, screen } from './screening.ts';
import type { TimedEdge } from './timed-edge.ts';

export interface EdgesReduction {
  /** Before the screening. */
  readonly found: readonly FoundPassage[];
  readonly screening: Screening;
  /** undefined where the edges make no flight. */
  readonly reduction: Reduction | undefined;
  readonly pairs: readonly PairReduction[];
}

/** @param timed  ascending in time since the firing, each gate's delay taken off */
export function reduceEdges(timed: readonly TimedEdge[], rig: Rig, air: AirEstimates, time: TimeBase): EdgesReduction {
  const ball = { diameterM: rig.projectile.diameterM.value, decayPerM: expectedDecayPerM(rig, air) };
  const found = findPassages(timed, rig.gates, ball);
  const screening = screen(
    found.map((passage) => withEnds(passage, rig, timed)),
    timed,
    rig,
    air,
    time,
  );
  return {
    found,
    screening: { ...screening, reasons: withCommon(screening.reasons, timed, rig, found) },
    reduction: screening.fit && reduceFit(screening.fit, rig),
    pairs: reducePairs(rig, screening, time, ball.decayPerM),
  };
}

/** The passage with the edges it came from, so that the screening can give one of them up. */
function withEnds(passage: FoundPassage, rig: Rig, timed: readonly TimedEdge[]): ScreenedPassage {
  const { leadingIndex, trailingIndex } = passage;
  const isSoftwareTimed = [leadingIndex, trailingIndex].some((index) => index !== undefined && timed[index]?.softwareTimed);
  const end = (index: number | undefined) => (index === undefined ? undefined : { index, timeS: (timed[index] as TimedEdge).timeS });
  return {
    gate: rig.gates[passage.gateIndex] as Gate,
    gateIndex: passage.gateIndex,
    timeS: passage.timeS,
    occlusionS: passage.occlusionS,
    ambiguityS: 0,
    ...(isSoftwareTimed ? { softwareTimed: true } : {}),
    leading: end(leadingIndex),
    trailing: end(trailingIndex),
  };
}

/** What several gates saw at once is told as that, and not as ahead of or behind the projectile. */
function withCommon(
  reasons: ReadonlyMap<number, string>,
  timed: readonly TimedEdge[],
  rig: Rig,
  found: readonly FoundPassage[],
): ReadonlyMap<number, string> {
  const used = new Set(found.flatMap(({ leadingIndex, trailingIndex }) => [leadingIndex, trailingIndex]));
  const common = [...commonEdges(timed, rig.gates)].filter((index) => !used.has(index));
  return new Map([...common.map((index) => [index, COMMON_REASON] as const), ...reasons]);
}

function reducePairs(
  rig: Rig,
  { passages }: Screening,
  time: TimeBase,
  decayPerM: (velocityMps: number) => number,
): readonly PairReduction[] {
  const names = [...new Set(rig.gates.map((gate) => gate.pair))];
  return names.flatMap((name) => {
    const [from, to] = passages.filter((passage) => passage.gate.pair === name);
    if (!from || !to) return [];
    const meanMps = (to.gate.positionM.value - from.gate.positionM.value) / (to.timeS - from.timeS);
    return meanMps > 0 && Number.isFinite(meanMps) ? [reducePair(name, [from, to], { time, rig, decayPerM: decayPerM(meanMps) })] : [];
  });
}
