/**
 * Is a channel stuck? A live transducer's last digit moves. How long it may stand still is taken from its own past: the
 * share of neighbouring samples that were the same, and the longest run of them.
 *
 * That holds only where the noise reaches over more than one step of the converter. A quieter sensor flickers while its
 * value lies between two steps, and stands still for good once it lies on one. So a past counts only with proof of such
 * noise: now and then two steps at once, and back the other way. A rise through the steps gives no proof, and neither does
 * a flicker between two neighbours. Without proof only the stated time tells.
 */
export interface StuckState {
  readonly value: number;
  /** Samples since it took that value. */
  readonly run: number;
  /** Of the last change: its size and way; and the smallest change there was, the converter's step. */
  readonly change: number;
  readonly quantum: number;
  /** Changes by two steps or more that were followed by one the other way. */
  readonly proofs: number;
  /** Finished runs: samples in them, their number, the longest. */
  readonly samples: number;
  readonly runs: number;
  readonly longest: number;
  readonly isStuck: boolean;
  /** Changes since it was found stuck. */
  readonly changes: number;
}

export const NOT_STUCK: StuckState = {
  value: Number.NaN,
  run: 0,
  change: 0,
  quantum: 0,
  proofs: 0,
  samples: 0,
  runs: 0,
  longest: 0,
  isStuck: false,
  changes: 0,
};

/** Finished runs before its past is trusted. */
const RUNS_MIN = 30;
/** Of the runs: noise of half a step gives three times as many. */
const PROOF_SHARE = 0.02;
/** A run whose chance is below this, by the share of equal neighbours, is no chance: once in 30 000 years at 1 kHz. */
const CHANCE = 1e-15;
const OF_LONGEST = 4;
const SAMPLES_MIN = 20;
const STILL_S_MIN = 0.5;
/** Relative; closer than this is one count calibrated twice. */
const ROUNDING = 1e-9;
const SAMPLES_MAX = 60_000;
/** One flipped digit does not make a frozen converter well. */
const CHANGES_TO_CLEAR = 3;

export function takeStuck(
  state: StuckState,
  values: readonly number[],
  periodS: number,
  identicalMaxS = Number.POSITIVE_INFINITY,
): StuckState {
  let { value, run, change, quantum, proofs, samples, runs, longest, isStuck, changes } = state;
  let allowed = allowedRun({ samples, runs, longest, proofs }, periodS, identicalMaxS);
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
        allowed = allowedRun({ samples, runs, longest, proofs }, periodS, identicalMaxS);
      }
    }
    const step = next - value;
    const size = Math.abs(step);
    if (size > ROUNDING * Math.abs(next) && (quantum === 0 || size < quantum)) quantum = size;
    if (step * change < 0 && Math.abs(change) > 1.5 * quantum) proofs++;
    if (!Number.isNaN(step)) change = step;
    value = next;
    run = 1;
  }
  // The past fades, or a noise that has gone would count for ever.
  if (samples > SAMPLES_MAX) {
    samples /= 2;
    runs /= 2;
    proofs /= 2;
    longest = Math.ceil(longest * 0.9);
  }
  return { value, run, change, quantum, proofs, samples, runs, longest, isStuck, changes };
}

function allowedRun(
  { samples, runs, longest, proofs }: Pick<StuckState, 'samples' | 'runs' | 'longest' | 'proofs'>,
  periodS: number,
  identicalMaxS: number,
): number {
  const stated = Math.max(1, identicalMaxS / periodS);
  if (runs < RUNS_MIN || proofs < PROOF_SHARE * runs) return stated;
  const equal = 1 - runs / samples;
  const byChance = equal > 0 ? Math.log(CHANCE) / Math.log(equal) : 0;
  return Math.min(stated, Math.max(byChance, OF_LONGEST * longest, SAMPLES_MIN, STILL_S_MIN / periodS));
}
