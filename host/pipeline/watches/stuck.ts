/**
 * Is a channel stuck? A live transducer's last digit moves. How long it may stand still is taken from its own past: the
 * share of neighbouring samples that were the same, and the longest run of them. A channel that always stood still for
 * long, such as a gauge with few digits, is therefore not called stuck for it; one that never moved cannot be judged so.
 */
export interface StuckState {
  readonly value: number;
  /** Samples since it took that value. */
  readonly run: number;
  /** Finished runs: samples in them, their number, the longest. */
  readonly samples: number;
  readonly runs: number;
  readonly longest: number;
  readonly isStuck: boolean;
  /** Changes since it was found stuck. */
  readonly changes: number;
}

export const NOT_STUCK: StuckState = { value: Number.NaN, run: 0, samples: 0, runs: 0, longest: 0, isStuck: false, changes: 0 };

/** Finished runs before its past is trusted. */
const RUNS_MIN = 30;
/** A run whose chance is below this, by the share of equal neighbours, is no chance: once in 30 000 years at 1 kHz. */
const CHANCE = 1e-15;
const OF_LONGEST = 4;
const SAMPLES_MIN = 20;
const STILL_S_MIN = 0.5;
const SAMPLES_MAX = 60_000;
/** One flipped digit does not make a frozen converter well. */
const CHANGES_TO_CLEAR = 3;

export function takeStuck(
  state: StuckState,
  values: readonly number[],
  periodS: number,
  identicalMaxS = Number.POSITIVE_INFINITY,
): StuckState {
  let { value, run, samples, runs, longest, isStuck, changes } = state;
  let allowed = allowedRun(samples, runs, longest, periodS, identicalMaxS);
  for (const next of values) {
    if (next === value) {
      run++;
      if (run > allowed && !isStuck) {
        isStuck = true;
        changes = 0;
      }
      continue;
    }
    if (isStuck) {
      changes++;
      if (changes >= CHANGES_TO_CLEAR) isStuck = false;
    } else if (run > 0) {
      samples += run;
      runs++;
      if (run > longest) {
        longest = run;
        allowed = allowedRun(samples, runs, longest, periodS, identicalMaxS);
      }
    }
    value = next;
    run = 1;
  }
  // The past fades, or a noise that has gone would count for ever.
  if (samples > SAMPLES_MAX) {
    samples /= 2;
    runs /= 2;
    longest = Math.ceil(longest * 0.9);
  }
  return { value, run, samples, runs, longest, isStuck, changes };
}

function allowedRun(samples: number, runs: number, longest: number, periodS: number, identicalMaxS: number): number {
  const stated = Math.max(1, identicalMaxS / periodS);
  if (runs < RUNS_MIN) return stated;
  const equal = 1 - runs / samples;
  const byChance = equal > 0 ? Math.log(CHANCE) / Math.log(equal) : 0;
  return Math.min(stated, Math.max(byChance, OF_LONGEST * longest, SAMPLES_MIN, STILL_S_MIN / periodS));
}
