/**
 * Which edges are the projectile's. A ball blocks a beam for its chord over its speed and passes the gates one after
 * the other at nearly one speed; fragments, double edges and noise do not do both. The search takes every plausible
 * pair of occlusions at two gates as a guess of the flight and keeps the guess that most other gates agree with.
 */
import type { Gate } from '../rig/index.ts';

/** An edge at a gate, in time since the firing. */
export interface TimedEdge {
  /** Index into the rig's gates. */
  readonly gateIndex: number;
  readonly active: boolean;
  readonly timeS: number;
}

export interface FoundPassage {
  readonly gateIndex: number;
  /** Index into the edges given. */
  readonly leadingIndex: number;
  /** undefined where the trailing edge is missing. */
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
  readonly occlusionS: number;
}

const VELOCITY_MPS = { min: 20, max: 1500 };
/** Chord over diameter: at least half (the centre passes within 0.87 radii of the beam), at most 1 with 4 % for beam width and size. */
const CHORD_SHARE = { min: 0.5, max: 1.04 };
/** How far two gates' chords may differ: the ball drops and drifts by some millimetres between them. */
const CHORD_RATIO_MAX = 1.25;
/** The rest of the flight against a guess from one short pair. */
const TIME_SHARE_MAX = 0.03;
const TIME_SLACK_S = 30e-6;
/** Candidates a gate; a gate that flickers more often keeps those nearest after the firing. */
const OCCLUSIONS_MAX = 24;

/**
 * @param edges  ascending in time
 * @param decayPerM  expected relative loss of speed per metre, 1/m
 * @returns one passage a gate at most, in the gates' order; empty where no two gates agree
 */
export function findPassages(
  edges: readonly TimedEdge[],
  gates: readonly Gate[],
  ball: { readonly diameterM: number; readonly decayPerM: (velocityMps: number) => number },
): readonly FoundPassage[] {
  const occlusions = gates.map((_, gateIndex) => occlusionsAt(edges, gateIndex, ball.diameterM));
  let best: { readonly members: readonly Occlusion[]; readonly guess: FlightGuess; readonly cost: number } | undefined;
  for (const guess of guesses(occlusions, gates, ball.diameterM)) {
    const members = occlusions.flatMap((candidates, gateIndex) => {
      const expectedS = predict(guess, (gates[gateIndex] as Gate).positionM.value, ball.decayPerM);
      const fitting = candidates.filter((o) => isNear(o, expectedS, guess) && hasChord(o, guess.velocityMps, ball.diameterM));
      const nearest = fitting.sort((one, other) => departure(one, expectedS, guess) - departure(other, expectedS, guess))[0];
      return nearest ? [nearest] : [];
    });
    const cost = members.reduce(
      (sum, o) => sum + departure(o, predict(guess, (gates[o.gateIndex] as Gate).positionM.value, ball.decayPerM), guess),
      0,
    );
    if (!best || members.length > best.members.length || (members.length === best.members.length && cost < best.cost)) {
      best = { members, guess, cost };
    }
  }
  if (!best || best.members.length < 2) return [];
  return withLoneLeadingEdges(best.members, best.guess, edges, gates, ball);
}

/** Every blocked edge with each later clear edge of the same gate that could end the same occlusion. */
function occlusionsAt(edges: readonly TimedEdge[], gateIndex: number, diameterM: number): readonly Occlusion[] {
  const longestS = (diameterM * CHORD_SHARE.max) / VELOCITY_MPS.min;
  const shortestS = (diameterM * CHORD_SHARE.min) / VELOCITY_MPS.max;
  const found: Occlusion[] = [];
  for (const [leadingIndex, leading] of edges.entries()) {
    if (leading.gateIndex !== gateIndex || !leading.active) continue;
    for (let trailingIndex = leadingIndex + 1; trailingIndex < edges.length; trailingIndex++) {
      const trailing = edges[trailingIndex] as TimedEdge;
      const durationS = trailing.timeS - leading.timeS;
      if (durationS > longestS || found.length >= OCCLUSIONS_MAX) break;
      if (trailing.gateIndex !== gateIndex || trailing.active || durationS < shortestS) continue;
      found.push({ gateIndex, leadingIndex, trailingIndex, timeS: (leading.timeS + trailing.timeS) / 2, durationS });
    }
  }
  return found;
}

function* guesses(occlusions: readonly (readonly Occlusion[])[], gates: readonly Gate[], diameterM: number): Generator<FlightGuess> {
  for (const [i, firsts] of occlusions.entries()) {
    for (const seconds of occlusions.slice(i + 1)) {
      for (const first of firsts) {
        for (const second of seconds) {
          const from = (gates[first.gateIndex] as Gate).positionM.value;
          const to = (gates[second.gateIndex] as Gate).positionM.value;
          const velocityMps = (to - from) / (second.timeS - first.timeS);
          if (!(velocityMps >= VELOCITY_MPS.min && velocityMps <= VELOCITY_MPS.max)) continue;
          if (!hasChord(first, velocityMps, diameterM) || !hasChord(second, velocityMps, diameterM)) continue;
          const ratio = first.durationS / second.durationS;
          if (Math.max(ratio, 1 / ratio) > CHORD_RATIO_MAX) continue;
          yield {
            positionM: (from + to) / 2,
            timeS: (first.timeS + second.timeS) / 2,
            velocityMps,
            occlusionS: (first.durationS + second.durationS) / 2,
          };
        }
      }
    }
  }
}

function hasChord(occlusion: Occlusion, velocityMps: number, diameterM: number): boolean {
  // 15 % for what the speed itself changes between the gates.
  const share = (occlusion.durationS * velocityMps) / diameterM;
  return share > CHORD_SHARE.min * 0.85 && share < CHORD_SHARE.max * 1.15;
}

const slackS = (expectedS: number, guess: FlightGuess): number => TIME_SHARE_MAX * Math.abs(expectedS - guess.timeS) + TIME_SLACK_S;

const isNear = (occlusion: Occlusion, expectedS: number, guess: FlightGuess): boolean =>
  Math.abs(occlusion.timeS - expectedS) < slackS(expectedS, guess);

/** Time of passage with speed falling off exponentially, v = v₁·e^(−k(x−x₁)). */
function predict(guess: FlightGuess, positionM: number, decayPerM: (velocityMps: number) => number): number {
  const k = decayPerM(guess.velocityMps);
  const x = positionM - guess.positionM;
  return guess.timeS + (Math.abs(k * x) < 1e-9 ? x : Math.expm1(k * x) / k) / guess.velocityMps;
}

/** From the guess in time and in length, each relative to what is tolerated, squared. */
function departure(occlusion: Occlusion, expectedS: number, guess: FlightGuess): number {
  const late = (occlusion.timeS - expectedS) / slackS(expectedS, guess);
  const long = (occlusion.durationS / guess.occlusionS - 1) / (CHORD_RATIO_MAX - 1);
  return late * late + long * long;
}

/** A gate whose trailing edge is missing still tells by its leading edge, half a chord before the centre. */
function withLoneLeadingEdges(
  members: readonly Occlusion[],
  guess: FlightGuess,
  edges: readonly TimedEdge[],
  gates: readonly Gate[],
  ball: { readonly decayPerM: (velocityMps: number) => number },
): readonly FoundPassage[] {
  const halfOcclusionS = median(members.map((o) => o.durationS)) / 2;
  return gates.flatMap((gate, gateIndex): FoundPassage[] => {
    const member = members.find((o) => o.gateIndex === gateIndex);
    if (member) {
      return [
        {
          gateIndex,
          leadingIndex: member.leadingIndex,
          trailingIndex: member.trailingIndex,
          timeS: member.timeS,
          occlusionS: member.durationS,
        },
      ];
    }
    const expectedS = predict(guess, gate.positionM.value, ball.decayPerM);
    const late = (edge: TimedEdge) => Math.abs(edge.timeS + halfOcclusionS - expectedS);
    const lone = edges
      .map((edge, leadingIndex) => ({ edge, leadingIndex }))
      .filter(({ edge }) => edge.gateIndex === gateIndex && edge.active && late(edge) < slackS(expectedS, guess))
      .sort((a, b) => late(a.edge) - late(b.edge))[0];
    if (!lone) return [];
    return [
      {
        gateIndex,
        leadingIndex: lone.leadingIndex,
        trailingIndex: undefined,
        timeS: lone.edge.timeS + halfOcclusionS,
        occlusionS: undefined,
      },
    ];
  });
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] as number;
}
