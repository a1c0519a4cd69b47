/** Chance from a seed, the same on every machine: uniform numbers, and Student's t with the normal as its limit. */

/** Uniform in the open interval 0 to 1. */
export type Uniform = () => number;

/**
 * sfc32 (Doty-Humphrey's small fast counter generator, 128 bits of state, period at least 2³²; it passes PractRand and
 * BigCrush), two draws a number, so that tails are as fine as a double allows.
 * @param seed  integer, 0 to 2³² − 1
 */
export function uniformFrom(seed: number): Uniform {
  let a = seed >>> 0;
  let b = 0x9e3779b9;
  let c = 0x243f6a88;
  let counter = 1;
  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return sum >>> 0;
  };
  // Seeds that differ in one bit must have parted before the first number is used.
  for (let i = 0; i < 20; i++) next();
  // 52 bits and a half, so that neither 0 nor 1 comes up.
  return () => ((next() >>> 6) * 67108864 + (next() >>> 6) + 0.5) / 4503599627370496;
}

/**
 * Student's t by the polar method; Infinity gives standard normal deviates.
 * @param degreesOfFreedom  real, > 0
 * Source: R. W. Bailey, Mathematics of Computation 62 (1994) 779 (from memory)
 */
export function studentFrom(uniform: Uniform, degreesOfFreedom: number): number {
  for (;;) {
    const x = 2 * uniform() - 1;
    const y = 2 * uniform() - 1;
    const square = x * x + y * y;
    if (square > 1 || square === 0) continue;
    const radius =
      degreesOfFreedom === Number.POSITIVE_INFINITY
        ? -2 * Math.log(square)
        : degreesOfFreedom * Math.expm1((-2 / degreesOfFreedom) * Math.log(square));
    return x * Math.sqrt(radius / square);
  }
}
