/**
 * Which edges are the projectile's. A ball blocks a beam for its chord over its speed and passes the gates one after
 * the other at nearly one speed; fragments, double edges and noise do not do both. The search takes every plausible
 * pair of occlusions at two gates as a guess of the flight and keeps the guess that most other gates agree with.
 */
import type { Gate } from '../rig/index.ts';
import { commonEdges } from './common-edges.ts';
import type { TimedEdge } from './timed-edge.ts';

export interface FoundPassage {
  readonly gateIndex: number;
  /** Index into the edges given; undefined where this edge is missing or not believed. At least one of the two is there. */
  readonly leadingIndex: number | undefined;
  readonly trailingIndex: number | undefined;
  /** Projectile's centre in the beam. */
  readonly timeS: number;
  readonly occlusionS: number | undefined;
}

interface Occlusion {
  readonly gateIndex: number;
  readonly leadingIndex: number;
  readonly trailingIndex: number;
  readonly timeS: number;
  readonly durationS: number;
}

interface FlightGuess {
  readonly positionM: number;
  readonly timeS: number;
  readonly velocityMps: number;
  /** Mean of the two occlusions that it came from. */
  readonly chordM: number;
  readonly decayPerM: number;
}

export interface Ball {
  readonly diameterM: number;
  /** Expected relative loss of speed per metre. */
  readonly decayPerM: (velocityMps: number) => number;
}

const VELOCITY_MPS = { min: 20, max: 1500 };
/** Chord over diameter: at least half (the centre passes within 0.87 radii of the beam), at most 1 with 2 % for the guess. */
const CHORD_SHARE = { min: 0.5, max: 1.02 };
/** An occlusion that a fragment or a flicker has lengthened still tells where the ball was, within this. */
const LENGTHENED_SHARE_MAX = 1.5;
/** How far two gates' chords may differ: the ball drops and drifts by some millimetres between them. */
const CHORD_RATIO_MAX = 1.25;
/** The rest of the flight against a guess from one short pair. */
const TIME_SHARE_MAX = 0.03;
const TIME_SLACK_S = 30e-6;
/** What a departure from the guess costs is counted in these, tighter than what is let pass, so that a guess between far gates wins over one beside them. */
const TIME_COST_SHARE = 0.003;
const TIME_COST_S = 5e-6;
/** Candidates a gate. */
const OCCLUSIONS_MAX = 400;
/** Where the gates themselves time the shot, its first edge may be noise a little after the ball’s. */
const BEFORE_FIRST_S = 1e-3;
/** Of an occlusion, how much the beam may be clear between its ends: a chattering detector lets go for microseconds only. */
const CLEAR_SHARE_MAX = 0.1;
/** Ends tried for one beginning. */
const ENDS_MAX = 8;

/**
 * @param edges  ascending in time
 * @returns one passage a gate at most, in the gates' order; empty where no two gates agree
 */
export function findPassages(edges: readonly TimedEdge[], gates: readonly Gate[], ball: Ball): readonly FoundPassage[] {
  const common = commonEdges(edges, gates);
  const occlusions = gates.map((_, gateIndex) => occlusionsAt(edges, common, gateIndex, ball.diameterM));
  let best: { readonly members: readonly Occlusion[]; readonly guess: FlightGuess; readonly cost: number } | undefined;
  for (const guess of guesses(occlusions, gates, ball)) {
    const members = occlusions.flatMap((candidates, gateIndex) => memberAt(candidates, gates[gateIndex] as Gate, guess, ball.diameterM));
    const cost = members.reduce((sum, o) => sum + departure(o, gates[o.gateIndex] as Gate, guess), 0);
    if (!best || members.length > best.members.length || (members.length === best.members.length && cost < best.cost)) {
      best = { members, guess, cost };
    }
  }
  if (!best || best.members.length < 2) return [];
  return withLoneEdges(best.members, best.guess, { edges, common, gates });
}

/** Every blocked edge with each later clear edge of the same gate that could end the same, all but unbroken, occlusion. */
function occlusionsAt(
  edges: readonly TimedEdge[],
  common: ReadonlySet<number>,
  gateIndex: number,
  diameterM: number,
): readonly Occlusion[] {
  const longestS = (diameterM * LENGTHENED_SHARE_MAX) / VELOCITY_MPS.min;
  const shortestS = (diameterM * CHORD_SHARE.min) / VELOCITY_MPS.max;
  const found: Occlusion[] = [];
  for (const [leadingIndex, leading] of edges.entries()) {
    if (leading.gateIndex !== gateIndex || !leading.active || leading.timeS < -BEFORE_FIRST_S || common.has(leadingIndex)) continue;
    let ends = 0;
    let clearS = 0;
    let clearFromS: number | undefined;
    for (let trailingIndex = leadingIndex + 1; trailingIndex < edges.length; trailingIndex++) {
      const trailing = edges[trailingIndex] as TimedEdge;
      const durationS = trailing.timeS - leading.timeS;
      if (durationS > longestS || ends >= ENDS_MAX || found.length >= OCCLUSIONS_MAX) break;
      if (trailing.gateIndex !== gateIndex) continue;
      if (trailing.active) {
        clearS += clearFromS === undefined ? 0 : trailing.timeS - clearFromS;
        clearFromS = undefined;
        continue;
      }
      clearFromS ??= trailing.timeS;
      if (durationS < shortestS || clearS > CLEAR_SHARE_MAX * durationS || common.has(trailingIndex)) continue;
      ends += 1;
      found.push({ gateIndex, leadingIndex, trailingIndex, timeS: (leading.timeS + trailing.timeS) / 2, durationS });
    }
  }
  return found;
}

function* guesses(occlusions: readonly (readonly Occlusion[])[], gates: readonly Gate[], ball: Ball): Generator<FlightGuess> {
  for (const [i, firsts] of occlusions.entries()) {
    for (const seconds of occlusions.slice(i + 1)) {
      for (const first of firsts) {
        for (const second of seconds) {
          const from = (gates[first.gateIndex] as Gate).positionM.value;
          const to = (gates[second.gateIndex] as Gate).positionM.value;
          const bare = flightBetween({ positionM: from, timeS: first.timeS }, { positionM: to, timeS: second.timeS }, ball);
          if (!bare) continue;
          const chords = [chordAt(first, from, bare), chordAt(second, to, bare)] as const;
          if (Math.min(...chords) < CHORD_SHARE.min * ball.diameterM || Math.max(...chords) > CHORD_SHARE.max * ball.diameterM) continue;
          if (Math.max(...chords) > CHORD_RATIO_MAX * Math.min(...chords)) continue;
          yield { ...bare, chordM: (chords[0] + chords[1]) / 2 };
        }
      }
    }
  }
}

interface Seen {
  readonly positionM: number;
  readonly timeS: number;
}

/** The flight through both, as its middle has it: 226 µs before the mean of the times, for 7.5 m at 340 m/s and 1.1 % a metre. */
function flightBetween(first: Seen, second: Seen, ball: Ball): FlightGuess | undefined {
  const lengthM = second.positionM - first.positionM;
  const meanMps = lengthM / (second.timeS - first.timeS);
  if (!(meanMps >= VELOCITY_MPS.min && meanMps <= VELOCITY_MPS.max)) return undefined;
  const decayPerM = ball.decayPerM(meanMps);
  const half = (decayPerM * lengthM) / 2;
  const velocityMps = half === 0 ? meanMps : (meanMps * Math.sinh(half)) / half;
  const timeS = half === 0 ? (first.timeS + second.timeS) / 2 : first.timeS - Math.expm1(-half) / (decayPerM * velocityMps);
  return { positionM: (first.positionM + second.positionM) / 2, timeS, velocityMps, chordM: 0, decayPerM };
}

/**
 * The gate's occlusion that belongs to a guess. Of several that fit, the longest that is no longer than the ball: a
 * detector that chatters breaks the occlusion up inside its true ends. One that is too long is taken where there is no
 * other; screening.ts decides which of its ends to believe.
 */
function memberAt(candidates: readonly Occlusion[], gate: Gate, guess: FlightGuess, diameterM: number): readonly Occlusion[] {
  const expectedS = predict(guess, gate.positionM.value);
  const slack = slackS(expectedS, guess);
  let longest: Occlusion | undefined;
  let shortest: Occlusion | undefined;
  for (const o of candidates) {
    if (!(Math.abs(o.timeS - expectedS) < slack)) continue;
    const share = chordAt(o, gate.positionM.value, guess) / diameterM;
    if (share < CHORD_SHARE.min || share > LENGTHENED_SHARE_MAX) continue;
    if (share > CHORD_SHARE.max) shortest = shortest && shortest.durationS <= o.durationS ? shortest : o;
    else longest = longest && longest.durationS >= o.durationS ? longest : o;
  }
  const member = longest ?? shortest;
  return member ? [member] : [];
}

const slackS = (expectedS: number, guess: FlightGuess): number => TIME_SHARE_MAX * Math.abs(expectedS - guess.timeS) + TIME_SLACK_S;

/** Time of passage with speed falling off exponentially, v = v₁·e^(−k(x−x₁)). */
function predict(guess: FlightGuess, positionM: number): number {
  const k = guess.decayPerM;
  const x = positionM - guess.positionM;
  return guess.timeS + (Math.abs(k * x) < 1e-9 ? x : Math.expm1(k * x) / k) / guess.velocityMps;
}

const chordAt = (occlusion: Occlusion, positionM: number, guess: FlightGuess): number =>
  occlusion.durationS * guess.velocityMps * Math.exp(-guess.decayPerM * (positionM - guess.positionM));

/** From the guess in time and in chord, each relative to what is usual, squared. */
function departure(occlusion: Occlusion, gate: Gate, guess: FlightGuess): number {
  const expectedS = predict(guess, gate.positionM.value);
  const late = (occlusion.timeS - expectedS) / (TIME_COST_SHARE * Math.abs(expectedS - guess.timeS) + TIME_COST_S);
  const long = (chordAt(occlusion, gate.positionM.value, guess) / guess.chordM - 1) / (CHORD_RATIO_MAX - 1);
  return late * late + long * long;
}

/** A gate with one edge only still tells by it: the ball's centre is half a chord behind the leading edge, or ahead of the trailing one. */
function withLoneEdges(
  members: readonly Occlusion[],
  guess: FlightGuess,
  { edges, common, gates }: { readonly edges: readonly TimedEdge[]; readonly common: ReadonlySet<number>; readonly gates: readonly Gate[] },
): readonly FoundPassage[] {
  return gates.flatMap((gate, gateIndex): FoundPassage[] => {
    const member = members.find((o) => o.gateIndex === gateIndex);
    if (member) {
      const { leadingIndex, trailingIndex, timeS, durationS } = member;
      return [{ gateIndex, leadingIndex, trailingIndex, timeS, occlusionS: durationS }];
    }
    const expectedS = predict(guess, gate.positionM.value);
    const halfS = guess.chordM / 2 / (guess.velocityMps * Math.exp(-guess.decayPerM * (gate.positionM.value - guess.positionM)));
    const lone = edges
      .map((edge, index) => ({ edge, index, timeS: edge.timeS + (edge.active ? halfS : -halfS) }))
      .filter(
        ({ edge, index, timeS }) =>
          edge.gateIndex === gateIndex && !common.has(index) && Math.abs(timeS - expectedS) < slackS(expectedS, guess),
      )
      .sort((a, b) => Math.abs(a.timeS - expectedS) - Math.abs(b.timeS - expectedS))[0];
    if (!lone) return [];
    const side = lone.edge.active
      ? { leadingIndex: lone.index, trailingIndex: undefined }
      : { leadingIndex: undefined, trailingIndex: lone.index };
    return [{ gateIndex, ...side, timeS: lone.timeS, occlusionS: undefined }];
  });
}
