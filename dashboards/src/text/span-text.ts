/** A stretch of time to come or gone by, coarse enough not to flicker. @param s  ≥ 0 */
export function spanText(s: number): string {
  if (!Number.isFinite(s)) return '–';
  if (s < 10) return `${Math.max(0, s).toFixed(1)} s`;
  if (s < 100) return `${Math.round(s)} s`;
  const wholeS = Math.round(s);
  if (s < 6000) return `${Math.floor(wholeS / 60)} min ${String(wholeS % 60).padStart(2, '0')} s`;
  return `${Math.floor(wholeS / 3600)} h ${String(Math.floor((wholeS % 3600) / 60)).padStart(2, '0')} min`;
}

/** With its 95 % uncertainty, where that is not lost in the rounding. */
export function spanWithUncertainty({
  value,
  expandedUncertainty,
}: {
  readonly value: number;
  readonly expandedUncertainty: number;
}): string {
  return expandedUncertainty > 0.02 * value && Number.isFinite(expandedUncertainty)
    ? `${spanText(value)} ± ${spanText(expandedUncertainty)}`
    : spanText(value);
}
