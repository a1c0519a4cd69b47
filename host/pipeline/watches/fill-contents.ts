/**
 * What is in the vessel while it fills: the pressure that its gas would settle at if the valve were shut now.
 *
 * The gas is warmed by being filled, and by how much depends on how fast the wall takes the warmth away, which nobody
 * states. So the settled pressure is followed for a row of such times at once, from a wall that takes all of it (it settles
 * where it stands) to one that takes none (adiabatic). The truth is between the two. Once a fill has settled, it tells
 * which time fits this vessel, and the next fill is known far better.
 * Taken as given: the gas comes in as warm as the wall, and the vessel was at rest before.
 */
import { rectangularStandardUncertainty } from '../../metrology/index.ts';
import { NO_HEAT_TO_WALL_S, settledAfter } from '../../physics/index.ts';
import type { Bin } from './bins.ts';

export interface Contents {
  readonly pressurePa: number;
  readonly atNs: number;
  /** Settled pressures, Pa absolute, one for each of WALL_TIMES_S. */
  readonly settledPa: readonly number[];
}

/** From a wall that takes all at once to one that takes nothing; between, by factors of 2. */
export const WALL_TIMES_S: readonly number[] = [0, ...Array.from({ length: 14 }, (_, k) => 0.05 * 2 ** k), NO_HEAT_TO_WALL_S];
const [FIRST, LAST] = [0, WALL_TIMES_S.length - 1];
/** From fill to fill, either way: another speed stirs the gas otherwise. */
const WALL_TIME_FACTOR = 1.6;

/** Of a vessel at rest. */
export const contentsAt = (pressurePa: number, atNs: number): Contents => ({
  pressurePa,
  atNs,
  settledPa: WALL_TIMES_S.map(() => pressurePa),
});

/** @param bins  what came since, in the order of time */
export function takeContents(contents: Contents, bins: readonly Bin[], gamma: number): Contents {
  return bins.reduce((before, { toNs, fromNs, mean }) => later(before, (fromNs + toNs) / 2, mean, gamma), contents);
}

function later(before: Contents, atNs: number, pressurePa: number, gamma: number): Contents {
  const forS = (atNs - before.atNs) / 1e9;
  if (forS <= 0) return before;
  const slope = (pressurePa - before.pressurePa) / forS;
  const settledPa = before.settledPa.map((settled, i) =>
    settledAfter({ settledPa: settled, pressurePa: before.pressurePa }, slope, forS, { wallTimeS: WALL_TIMES_S[i] ?? 0, gamma }),
  );
  return { pressurePa, atNs, settledPa };
}

/** If the pressure goes on at this rate. */
export const contentsIn = (contents: Contents, forS: number, slope: number, gamma: number): Contents =>
  later(contents, contents.atNs + forS * 1e9, contents.pressurePa + slope * forS, gamma);

/** The time that explains where a fill has settled; undefined where it has settled outside of what any can. */
export function wallTimeOf({ settledPa }: Contents, endPa: number): number | undefined {
  const above = settledPa.findLastIndex((settled) => settled >= endPa);
  const [high, low] = [settledPa[above], settledPa[above + 1]];
  if (high === undefined || low === undefined || high <= low) return undefined;
  const share = (high - endPa) / (high - low);
  return timeAt(above + share);
}

export interface SettledRange {
  readonly lowPa: number;
  readonly highPa: number;
}

/** @param wallTimeS  of an earlier fill; undefined: none has settled yet */
export function settledRange(contents: Contents, wallTimeS: number | undefined): SettledRange {
  if (wallTimeS === undefined) return { lowPa: settledAtPlace(contents, LAST), highPa: settledAtPlace(contents, FIRST) };
  return {
    lowPa: settledAtPlace(contents, placeOf(wallTimeS * WALL_TIME_FACTOR)),
    highPa: settledAtPlace(contents, placeOf(wallTimeS / WALL_TIME_FACTOR)),
  };
}

/** Anything in the range is as likely as anything else. */
export const middleOf = ({ lowPa, highPa }: SettledRange) => ({
  value: (lowPa + highPa) / 2,
  standardUncertainty: rectangularStandardUncertainty((highPa - lowPa) / 2),
});

function settledAtPlace({ settledPa }: Contents, place: number): number {
  const [low, high] = [settledPa[Math.floor(place)] ?? Number.NaN, settledPa[Math.ceil(place)] ?? Number.NaN];
  return low + (high - low) * (place - Math.floor(place));
}

/** Between two of the row by their logarithm, which at either end of it is not to be had. */
function placeOf(timeS: number): number {
  const [shortest, longest] = [WALL_TIMES_S[1] ?? 0, WALL_TIMES_S[LAST - 1] ?? 0];
  if (timeS <= shortest) return timeS / shortest;
  return timeS >= longest ? LAST : 1 + Math.log2(timeS / shortest);
}

function timeAt(place: number): number {
  const [shortest, longest] = [WALL_TIMES_S[1] ?? 0, WALL_TIMES_S[LAST - 1] ?? 0];
  return place <= 1 ? place * shortest : Math.min(longest, shortest * 2 ** (place - 1));
}
