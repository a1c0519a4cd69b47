/**
 * What is thought possible of a drag curve before a shot is fired: how it runs on the whole, how far it may depart from
 * that, over what stretch of Mach the departure changes, and how much balls of one kind differ from each other. None of
 * these is known, so all combinations of a few values each are held against the shots, and each has the say in the curve
 * that the shots give it (Bayesian model averaging; evidence as in Rasmussen and Williams, "Gaussian Processes for
 * Machine Learning" (2006), eq. (2.30), from memory).
 */

export interface Belief {
  /** The published curve's shape, or none. */
  readonly shape: 'reference' | 'flat';
  /** Of the departure from it: of the published curve's own spread, or for a flat one of the logarithm of the drag. */
  readonly amplitude: number;
  /** Mach over which the departure changes. */
  readonly lengthMach: number;
  /** Relative, from ball to ball, k = 1. */
  readonly scatter: number;
}

const SCATTERS = [0, 0.003, 0.01, 0.03, 0.1];
const REFERENCE = { amplitudes: [0.3, 1, 3], lengths: [0.1, 0.2, 0.4, 0.8] };
const FLAT = { amplitudes: [0.1, 0.3, 0.9], lengths: [0.05, 0.1, 0.2, 0.4] };

export const BELIEFS: readonly Belief[] = (['reference', 'flat'] as const).flatMap((shape) => {
  const { amplitudes, lengths } = shape === 'reference' ? REFERENCE : FLAT;
  return amplitudes.flatMap((amplitude) =>
    lengths.flatMap((lengthMach) => SCATTERS.map((scatter) => ({ shape, amplitude, lengthMach, scatter }))),
  );
});

/** Of a flat curve's height, which is anyone's guess, in the logarithm. */
const HEIGHT = 1.5;

/** Where on the Mach scale, and how far published curves differ there, relative, k = 1. */
export interface Place {
  readonly mach: number;
  readonly spread: number;
}

/**
 * Covariance of the logarithm of the drag at two places under a belief: Matérn with 5/2, a curve that is smooth and not
 * smoother than that.
 * Source: Rasmussen and Williams (2006), eq. (4.17), from memory
 */
export function covarianceUnder({ shape, amplitude, lengthMach }: Belief): (a: Place, b: Place) => number {
  const height = shape === 'flat' ? HEIGHT ** 2 : 0;
  return (a, b) => {
    const r = (Math.sqrt(5) * Math.abs(a.mach - b.mach)) / lengthMach;
    const matern = (1 + r + (r * r) / 3) * Math.exp(-r);
    const sizes = shape === 'flat' ? amplitude ** 2 : amplitude ** 2 * a.spread * b.spread;
    return height + sizes * matern;
  };
}
