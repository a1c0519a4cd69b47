/**
 * Σ a·b − Σ of further numbers, as if computed in twice the precision of a double and then rounded once.
 * Source: T. Ogita, S. M. Rump, S. Oishi, SIAM J. Sci. Comput. 26 (2005) 1955, algorithm 5.3 (Dot2), on Dekker's exact
 * product and Knuth's exact sum (from memory)
 * @param a  as long as b; magnitudes below 1e300, for the splitting not to overflow
 */
export function dotTwice(a: ArrayLike<number>, b: ArrayLike<number>, minus: readonly number[] = []): number {
  let sum = 0;
  let lost = 0;
  const add = (term: number): void => {
    const total = sum + term;
    const back = total - sum;
    lost += sum - (total - back) + (term - back);
    sum = total;
  };
  for (let i = 0; i < a.length; i++) {
    const x = a[i] as number;
    const y = b[i] as number;
    const product = x * y;
    const xHigh = high(x);
    const yHigh = high(y);
    const xLow = x - xHigh;
    const yLow = y - yHigh;
    lost += xLow * yLow - (product - xHigh * yHigh - xLow * yHigh - xHigh * yLow);
    add(product);
  }
  for (const term of minus) add(-term);
  return sum + lost;
}

/** The upper 26 bits (Veltkamp). */
function high(x: number): number {
  const c = 134217729 * x;
  return c - (c - x);
}
