/** Straight lines between kept points, the ends held. @param times  rising, two at least; as many values */
export function lookUp(times: ArrayLike<number>, values: ArrayLike<number>, timeS: number): number {
  if (timeS <= (times[0] as number)) return values[0] as number;
  let low = 0;
  let high = times.length - 1;
  if (timeS >= (times[high] as number)) return values[high] as number;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((times[middle] as number) <= timeS) low = middle;
    else high = middle;
  }
  const fraction = (timeS - (times[low] as number)) / ((times[high] as number) - (times[low] as number));
  return (values[low] as number) + fraction * ((values[high] as number) - (values[low] as number));
}
