/** A board's clock in words; ± is the expanded uncertainty, 95 %. */

/**
 * Of a time stamp taken when the words of a board without a clock of its own arrive, s, k = 2. Twice what the pipeline
 * states (host/pipeline/time.ts); a test holds the two together.
 */
export const ARRIVAL_EXPANDED_S = 0.02;

const DECIMALS_MAX = 9;

/** Such as `−3.249785 ± 0.000044 s`: as many places as two digits of the uncertainty need. */
export function clockOffsetText(offsetS: number, expandedS: number): string {
  const places = expandedS > 0 ? 1 - Math.floor(Math.log10(expandedS)) : DECIMALS_MAX;
  const decimals = Math.min(DECIMALS_MAX, Math.max(0, places));
  return `${signed(offsetS, decimals)} ± ${expandedS.toFixed(decimals)} s`;
}

/** Such as `+21.44 ± 0.62 ppm`. */
export const clockRateText = (ppm: number, expandedPpm: number): string => `${signed(ppm, 2)} ± ${expandedPpm.toFixed(2)} ppm`;

const signed = (value: number, decimals: number): string => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(decimals)}`;
