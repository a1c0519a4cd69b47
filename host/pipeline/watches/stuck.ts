/**
 * Is a channel stuck? A live transducer's last digit moves, and how long it may stand still is taken from its own past.
 *
 * How often its digit moved is no measure: a quiet sensor flickers while its value lies between two steps of the
 * converter and stands still for good once it lies on one, and whatever fills, falls or fires moves it through the steps
 * without any noise. What counts is swings: two steps or more one way, then two or more back. A stretch lasts until it
 * has 20 of them. The channel is stuck when it stands still for twice as long as its longest stretch ever took.
 *
 * Why that is no chance. Noise that makes r swings a sample, wherever in its step the value lies, leaves the middle of a
 * step, where it stands stillest, at least 2 r times a sample (white normal noise of 0.2 to 3 steps; from computation).
 * A stretch is 20/r samples long on average, its longest no less, so that standing still for two of them has a chance of
 * exp(−80) or less. A longest stretch that is by luck half the average, still exp(−40): for every sample of a day at
 * 1 kHz together 4e-10 a channel and day.
 * No past teaches that is not the channel's own noise at rest: a stretch counts only where its level ended where it
 * began, five must have counted, and the longest is never forgotten, so that a vessel which stood still before its pump
 * beat may do so again. What is left: a machine that ran beside the channel ever since the start and is then switched off.
 *
 * How soon. Noise of half a step or more: within 2000 samples (2 s at 1 kHz, 40 s at 50 Hz, 17 min at 2 Hz), of a whole
 * step or more: within 400, and never before 0.5 s and 20 samples. A quieter channel may stand still, and only the stated
 * time tells.
 */
export interface StuckState {
  readonly value: number;
  /** Samples since it took that value. */
  readonly run: number;
  /** The smallest change there was: the converter's step. */
  readonly quantum: number;
  /** The swing that goes on: its way, and how far it came. */
  readonly way: 1 | -1;
  readonly extreme: number;
  /** The open stretch: its samples, its finished swings and the sum of their sizes, where it began. */
  readonly length: number;
  readonly swings: number;
  readonly swung: number;
  readonly from: number;
  /** Stretches that count, at most as many as are asked for; the longest of all, samples. */
  readonly counted: number;
  readonly longest: number;
  /** Samples that the present value may stand. */
  readonly allowed: number;
  readonly isStuck: boolean;
  /** Changes since it was found stuck. */
  readonly changes: number;
}

export const NOT_STUCK: StuckState = {
  value: Number.NaN,
  run: 0,
  quantum: 0,
  way: 1,
  extreme: Number.NEGATIVE_INFINITY,
  length: 0,
  swings: 0,
  swung: 0,
  from: Number.NaN,
  counted: 0,
  longest: 0,
  allowed: Number.POSITIVE_INFINITY,
  isStuck: false,
  changes: 0,
};

/** Two steps, with room for rounding. */
const SWING_QUANTA = 1.5;
const SWINGS = 20;
const COUNTED_MIN = 5;
const OF_LONGEST = 2;
/** Of a mean swing: a stretch that ends farther from where it began is a filling or a firing. */
const LEVEL_SWINGS = 3;
const SAMPLES_MIN = 20;
const STILL_S_MIN = 0.5;
/** Relative; closer than this is one number written twice. */
const ROUNDING = 1e-9;
/** One flipped digit does not make a frozen converter well. */
const CHANGES_TO_CLEAR = 3;

/** @param values  the channel's own numbers, even in their steps: before conversion, zeroing and the ambient pressure */
export function takeStuck(
  state: StuckState,
  values: readonly number[],
  periodS: number,
  identicalMaxS = Number.POSITIVE_INFINITY,
): StuckState {
  const next: Open = { ...state };
  const stated = Math.max(1, identicalMaxS / periodS);
  const least = Math.max(SAMPLES_MIN, STILL_S_MIN / periodS);
  for (const value of values) {
    next.length++;
    if (value === next.value) {
      next.run++;
      const allowed = Math.min(stated, Math.max(least, next.allowed));
      if (next.run <= allowed || next.isStuck) continue;
      next.isStuck = true;
      next.changes = 0;
      continue;
    }
    if (next.isStuck) {
      next.changes++;
      if (next.changes >= CHANGES_TO_CLEAR) next.isStuck = false;
      // What stood still because it was stuck does not teach that it may.
      beginStretch(next, value);
    }
    const size = Math.abs(value - next.value);
    if (size > ROUNDING * Math.abs(value) && (next.quantum === 0 || size < next.quantum)) next.quantum = size;
    followSwing(next, value);
    next.value = value;
    next.run = 1;
    next.allowed = next.counted < COUNTED_MIN ? Number.POSITIVE_INFINITY : OF_LONGEST * Math.max(next.longest, next.length);
  }
  return next;
}

type Open = { -readonly [K in keyof StuckState]: StuckState[K] };

function followSwing(next: Open, value: number): void {
  const beyond = next.way * (value - next.extreme);
  if (Number.isNaN(next.from)) beginStretch(next, value);
  if (beyond > 0) next.extreme = value;
  else if (beyond < -SWING_QUANTA * next.quantum) {
    next.swings++;
    next.swung -= beyond;
    next.way = next.way === 1 ? -1 : 1;
    next.extreme = value;
  }
  if (next.swings < SWINGS) return;
  const isLevel = Math.abs(value - next.from) < (LEVEL_SWINGS * next.swung) / next.swings;
  if (isLevel) next.counted = Math.min(COUNTED_MIN, next.counted + 1);
  next.longest = Math.max(next.longest, next.length);
  beginStretch(next, value);
}

function beginStretch(next: Open, value: number): void {
  next.from = value;
  next.length = 1;
  next.swings = 0;
  next.swung = 0;
}
