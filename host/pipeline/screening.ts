/**
 * Which gates to believe. Three checks, each with a stated rule:
 * 0. Where other edges lie close to those of a passage, its time is uncertain by half the span of what they would make
 *    of it; the fit then leans on the gates that are undisturbed.
 * 1. An occlusion longer than the projectile is wide has a foreign end, or two (a fragment, a flicker): the projectile was
 *    somewhere inside it, and that is all that is taken from it.
 * 2. Where the gates together disagree more than their uncertainties explain (0.1 % level), the gate is left out whose
 *    leaving makes the rest agree, if there is one such and it stands out; otherwise all stay and the shot is flagged.
 */
import type { Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';
import { edgeJitterS, type TimeBase, type TimedPassage } from './gate-timing.ts';
import { fitGates, type GateFit, widened } from './reduction.ts';
import type { TimedEdge } from './timed-edge.ts';

/** A passage with the ends it came from, so that one of them can be given up. */
export interface ScreenedPassage extends TimedPassage {
  readonly gateIndex: number;
  readonly leading: { readonly index: number; readonly timeS: number } | undefined;
  readonly trailing: { readonly index: number; readonly timeS: number } | undefined;
}

export interface Screening {
  readonly passages: readonly ScreenedPassage[];
  readonly fit: GateFit | undefined;
  /** By index of the edge. */
  readonly reasons: ReadonlyMap<number, string>;
  /** Left out of the fit. */
  readonly rejectedGates: readonly ScreenedPassage[];
  /** They disagree, and none stands out. */
  readonly doubtful: boolean;
}

/** Beyond the diameter by this many standard uncertainties an occlusion is too long. */
const CHORD_SCORE_MAX = 3;
/** Where in the beam a detector trips: ±0.2 mm for both ends together (common practice for a 1 mm beam), k = 1. */
export const BEAM_EDGES_M = 0.1e-3;
/** Least-squares surveying calls it data snooping (Baarda 1968, from memory): a gate must lower chi-squared by this much, 0.1 % for one. */
const GATE_DROP_MIN = 10.8;
/** …and by so much more than any other gate would, so that the right one is blamed. */
const GATE_LEAD_MIN = 6;

export function screen(
  found: readonly ScreenedPassage[],
  edges: readonly TimedEdge[],
  rig: Rig,
  air: AirEstimates,
  time: TimeBase,
): Screening {
  const fitOf = (passages: readonly TimedPassage[]) => fitGates(passages, rig, air, time);
  const reasons = new Map<number, string>();
  let passages = withAmbiguity(withinLongest(found), edges);
  let fit = fitOf(passages);
  for (let round = 0; round < found.length && fit; round++) {
    const long = longest(passages, fit, rig);
    if (long === undefined) break;
    const bounded = asBounds(passages, long);
    if (!bounded) break;
    passages = bounded;
    fit = fitOf(passages);
  }
  const rejectedGates: ScreenedPassage[] = [];
  let doubtful = false;
  if (fit && !fit.fits) {
    const blamed = standsOut(passages, fit, fitOf);
    if (blamed) {
      rejectedGates.push(blamed.passage);
      for (const end of [blamed.passage.leading, blamed.passage.trailing])
        if (end) reasons.set(end.index, 'disagrees with all other gates');
      passages = passages.filter((passage) => passage !== blamed.passage);
      fit = blamed.fit;
    } else {
      doubtful = true;
      fit = widened(fit);
    }
  }
  if (fit) for (const index of foreignEnds(passages, fit)) reasons.set(index, 'stretches the occlusion beyond the projectile’s diameter');
  return { passages, fit, reasons, rejectedGates, doubtful };
}

/** An occlusion so much longer than the others is too long at any speed that the ball can have had there. */
const SURELY_LONG = 1.15;

/** Those that are surely too long would lead the first fit far astray. */
function withinLongest(passages: readonly ScreenedPassage[]): readonly ScreenedPassage[] {
  const limitS = SURELY_LONG * median(passages.flatMap(({ occlusionS }) => occlusionS ?? []));
  return passages.reduce(
    (done, { occlusionS }, i) => (occlusionS !== undefined && occlusionS > limitS ? (asBounds(done, i) ?? done) : done),
    passages,
  );
}

/** With one passage taken only as bounds: the centre is at least half a chord from either end, as the other gates have it. */
function asBounds(passages: readonly ScreenedPassage[], index: number): readonly ScreenedPassage[] | undefined {
  const passage = passages[index] as ScreenedPassage;
  const others = passages.flatMap(({ occlusionS }, i) => (i === index ? [] : (occlusionS ?? [])));
  if (passage.occlusionS === undefined || others.length === 0) return undefined;
  const ambiguityS = Math.abs(passage.occlusionS - median(others)) / 2;
  return passages.with(index, { ...passage, occlusionS: undefined, ambiguityS });
}

/** Of each occlusion that is taken as bounds only, the ends that the projectile cannot have made where the others have it. */
function foreignEnds(passages: readonly ScreenedPassage[], { fit }: GateFit): readonly number[] {
  const whole = passages.flatMap(({ occlusionS }) => occlusionS ?? []);
  if (whole.length === 0) return [];
  const halfS = median(whole) / 2;
  return passages.flatMap(({ leading, trailing, occlusionS, timeS }, i) => {
    if (!leading || !trailing || occlusionS !== undefined) return [];
    const centreS = timeS - (fit.residuals[i] as number);
    const early = { index: leading.index, byS: centreS - halfS - leading.timeS };
    const late = { index: trailing.index, byS: trailing.timeS - centreS - halfS };
    const [more, less] = early.byS > late.byS ? [early, late] : [late, early];
    // One at least is foreign; the other too where it is off by a good part of what the first is.
    return less.byS > FOREIGN_SHARE * more.byS ? [more.index, less.index] : [more.index];
  });
}

const FOREIGN_SHARE = 0.25;

/** How near another edge of the same gate must be to disturb a passage, as a part of its occlusion. */
const DISTURBED_WITHIN = 0.25;

function withAmbiguity(passages: readonly ScreenedPassage[], edges: readonly TimedEdge[]): readonly ScreenedPassage[] {
  const others = passages.map((passage) => disturbing(passage, edges));
  const whole = passages.filter((passage, i) => passage.occlusionS !== undefined && others[i]?.length === 0);
  return passages.map((passage, i) => {
    const near = others[i] ?? [];
    const { leading, trailing, occlusionS } = passage;
    if (near.length === 0 || !leading || !trailing || occlusionS === undefined) return passage;
    // The ball is seen alike by the undisturbed gates; slowing between them is far less than what is asked here.
    const halfS = (whole.length > 0 ? median(whole.map((other) => other.occlusionS as number)) : occlusionS) / 2;
    const starts = [leading.timeS, ...near.filter((edge) => edge.active).map((edge) => edge.timeS)];
    const ends = [trailing.timeS, ...near.filter((edge) => !edge.active).map((edge) => edge.timeS)];
    const pairs = starts.flatMap((start) =>
      ends.filter((end) => Math.abs((end - start) / (2 * halfS) - 1) < DISTURBED_WITHIN).map((end) => (start + end) / 2),
    );
    const places = [passage.timeS, leading.timeS + halfS, trailing.timeS - halfS, ...pairs];
    return { ...passage, ambiguityS: (Math.max(...places) - Math.min(...places)) / 2 };
  });
}

function disturbing({ gateIndex, leading, trailing, occlusionS }: ScreenedPassage, edges: readonly TimedEdge[]): readonly TimedEdge[] {
  if (!leading || !trailing || occlusionS === undefined) return [];
  const marginS = DISTURBED_WITHIN * occlusionS;
  return edges.filter(
    (edge, index) =>
      edge.gateIndex === gateIndex &&
      index !== leading.index &&
      index !== trailing.index &&
      edge.timeS > leading.timeS - marginS &&
      edge.timeS < trailing.timeS + marginS,
  );
}

export const chordM = (passage: TimedPassage, velocityMps: number): number | undefined =>
  passage.occlusionS === undefined ? undefined : passage.occlusionS * velocityMps;

/** By Pythagoras; 0 where the chord is no shorter than the diameter. */
export const offAxisM = (chord: number, diameterM: number): number => Math.sqrt(Math.max(0, diameterM ** 2 - chord ** 2)) / 2;

/** The index of the passage that is longest beyond its limit. */
function longest(passages: readonly ScreenedPassage[], { velocitiesMps }: GateFit, rig: Rig): number | undefined {
  const { diameterM } = rig.projectile;
  let worst: { readonly index: number; readonly score: number } | undefined;
  for (const [index, passage] of passages.entries()) {
    const velocity = velocitiesMps[index] as number;
    const chord = chordM(passage, velocity);
    if (chord === undefined) continue;
    const u = Math.hypot(diameterM.standardUncertainty, BEAM_EDGES_M, Math.SQRT2 * edgeJitterS(passage, rig) * velocity);
    const score = (chord - diameterM.value) / u;
    if (score > CHORD_SCORE_MAX && score > (worst?.score ?? 0)) worst = { index, score };
  }
  return worst?.index;
}

function standsOut(
  passages: readonly ScreenedPassage[],
  fit: GateFit,
  fitOf: (passages: readonly TimedPassage[]) => GateFit | undefined,
): { readonly passage: ScreenedPassage; readonly fit: GateFit } | undefined {
  if (passages.length < 3) return undefined;
  const without = passages.flatMap((passage) => {
    const rest = fitOf(passages.filter((other) => other !== passage));
    return rest ? [{ passage, fit: rest }] : [];
  });
  const [best, next] = without.sort((a, b) => a.fit.fit.chiSquared - b.fit.fit.chiSquared);
  if (!best?.fit.fits || fit.fit.chiSquared - best.fit.fit.chiSquared < GATE_DROP_MIN) return undefined;
  if (next && next.fit.fit.chiSquared - best.fit.fit.chiSquared < GATE_LEAD_MIN) return undefined;
  return best;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] as number;
}
