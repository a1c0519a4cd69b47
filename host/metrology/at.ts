/** An element that must be there; its absence is our bug. */
export function at<T>(values: readonly T[], index: number): T {
  const value = values[index];
  if (value === undefined) throw new RangeError(`index ${index} of ${values.length}`);
  return value;
}
