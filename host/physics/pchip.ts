/** A value and its slope at one place. */
export interface ValueAndSlope {
  readonly value: number;
  readonly slope: number;
}

/**
 * Piecewise cubic that passes through the points, has a continuous slope and makes no hump between them.
 * Outside the points it holds the end values; the slope is 0 at both ends, so that it is smooth there too.
 * @param x  strictly rising, at least two
 * @param y  as many
 * @returns the curve: x to value and slope
 * @throws RangeError for points that do not fit (our bug)
 * Source: Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300–304, eq. (weighted harmonic mean of slopes)
 */
export function monotoneCubic(x: readonly number[], y: readonly number[]): (at: number) => ValueAndSlope {
  const count = x.length;
  if (count < 2 || y.length !== count) throw new RangeError(`points: ${count} x and ${y.length} y`);
  const slopes = new Float64Array(count);
  for (let i = 1; i < count; i++) {
    const width = at(x, i) - at(x, i - 1);
    if (!(width > 0)) throw new RangeError(`x must rise: ${at(x, i - 1)}, ${at(x, i)}`);
    if (i === count - 1) break;
    const next = at(x, i + 1) - at(x, i);
    const before = (at(y, i) - at(y, i - 1)) / width;
    const after = (at(y, i + 1) - at(y, i)) / next;
    if (before * after > 0) {
      slopes[i] = (3 * (width + next)) / ((2 * next + width) / before + (next + 2 * width) / after);
    }
  }
  // Where the last place lay: one after the other they are mostly neighbours. It only saves the search.
  let found = 0;
  return (place) => {
    if (place <= at(x, 0)) return { value: at(y, 0), slope: 0 };
    if (place >= at(x, count - 1)) return { value: at(y, count - 1), slope: 0 };
    if (place < at(x, found) || place >= at(x, found + 1)) found = intervalOf(x, place);
    const low = found;
    const high = found + 1;
    const width = at(x, high) - at(x, low);
    const s = (place - at(x, low)) / width;
    const rise = at(y, high) - at(y, low);
    const m0 = (slopes[low] as number) * width;
    const m1 = (slopes[high] as number) * width;
    // Hermite form: y0 + s·(m0 + s·(b + s·a))
    const a = m0 + m1 - 2 * rise;
    const b = 3 * rise - 2 * m0 - m1;
    return { value: at(y, low) + s * (m0 + s * (b + s * a)), slope: (m0 + s * (2 * b + 3 * s * a)) / width };
  };
}

/** The last point at or below the place, which lies between the ends. */
function intervalOf(x: readonly number[], place: number): number {
  let low = 0;
  let high = x.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (place < at(x, middle)) high = middle;
    else low = middle;
  }
  return low;
}

function at(values: readonly number[], index: number): number {
  return values[index] as number;
}
