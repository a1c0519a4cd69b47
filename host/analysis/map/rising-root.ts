/** Relative, of the place. */
const RESOLUTION = 1e-6;
const ROUNDS_MAX = 60;

/**
 * Where a rising function passes 0, between two places: by the Illinois variant of false position, which keeps the root
 * between its ends (M. Dowell and P. Jarratt, BIT 11 (1971) 168, from memory).
 * @returns undefined where it is still below 0 at the upper end; the lower end where it is above 0 there already
 */
export function risingRoot(of: (x: number) => number, from: number, to: number): number | undefined {
  let [low, high] = [from, to];
  let [below, above] = [of(low), of(high)];
  if (above < 0) return undefined;
  if (below >= 0) return low;
  let side = 0;
  for (let round = 0; round < ROUNDS_MAX && high - low > RESOLUTION * Math.abs(high); round++) {
    const x = low + ((high - low) * below) / (below - above);
    const value = of(x);
    if (Math.abs(value) === 0) return x;
    if (value < 0) {
      [low, below] = [x, value];
      if (side === -1) above /= 2;
      side = -1;
    } else {
      [high, above] = [x, value];
      if (side === 1) below /= 2;
      side = 1;
    }
    if (Math.abs(value) < VALUE_RESOLUTION) return x;
  }
  return (low + high) / 2;
}

/** m/s: nobody sees a smaller difference of velocity. */
const VALUE_RESOLUTION = 1e-4;
