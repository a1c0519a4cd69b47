/** What may be known of an input (JCGM 101:2008, 6.4), and numbers drawn accordingly. */
import { arcsineStandardUncertainty, rectangularStandardUncertainty, triangularStandardUncertainty } from './divisors.ts';
import { studentFrom, type Uniform } from './random.ts';

export type Distribution =
  | { readonly kind: 'normal'; readonly value: number; readonly standardUncertainty: number }
  /** Within ± halfWidth of the value. */
  | { readonly kind: 'rectangular' | 'triangular' | 'arcsine'; readonly value: number; readonly halfWidth: number }
  /** From few observations: scale is the standard uncertainty of their mean, not of this wider distribution. */
  | { readonly kind: 't'; readonly value: number; readonly scale: number; readonly degreesOfFreedom: number };

/** k = 1, of the distribution itself; of t Infinity up to 2 degrees of freedom. Source: JCGM 101:2008, 6.4 */
export function distributionStandardUncertainty(of: Distribution): number {
  switch (of.kind) {
    case 'normal':
      return of.standardUncertainty;
    case 'rectangular':
      return rectangularStandardUncertainty(of.halfWidth);
    case 'triangular':
      return triangularStandardUncertainty(of.halfWidth);
    case 'arcsine':
      return arcsineStandardUncertainty(of.halfWidth);
    case 't':
      return of.degreesOfFreedom > 2 ? of.scale * Math.sqrt(of.degreesOfFreedom / (of.degreesOfFreedom - 2)) : Number.POSITIVE_INFINITY;
  }
}

/** Draws by JCGM 101:2008, 6.4.2.4 (rectangular), 6.4.5.4 (triangular), 6.4.6.4 (arcsine), 6.4.7.4 (normal), 6.4.9.5 (t). */
export function samplerOf(of: Distribution, uniform: Uniform): () => number {
  switch (of.kind) {
    case 'normal':
      return () => of.value + of.standardUncertainty * studentFrom(uniform, Number.POSITIVE_INFINITY);
    case 'rectangular':
      return () => of.value + of.halfWidth * (2 * uniform() - 1);
    case 'triangular':
      return () => of.value + of.halfWidth * (uniform() + uniform() - 1);
    case 'arcsine':
      return () => of.value + of.halfWidth * Math.sin(2 * Math.PI * uniform());
    case 't':
      return () => of.value + of.scale * studentFrom(uniform, of.degreesOfFreedom);
  }
}
