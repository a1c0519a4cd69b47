/**
 * First-order propagation of uncertainty (JCGM 100:2008, 5.1.2 and 5.2.2).
 *
 * An estimate remembers which inputs it came from and how strongly. Two estimates that share an input, such as the
 * air's density in both the drag coefficient and the target velocity, stay correlated through it: combining them adds
 * the sensitivities before the squares are taken, so no covariance has to be carried by hand.
 */

export interface Term {
  /** Name of the input; the same name is the same quantity. */
  readonly input: string;
  readonly unit: string;
  readonly value: number;
  /** k = 1, in the input's unit. */
  readonly standardUncertainty: number;
  /** Partial derivative of the estimate by the input. */
  readonly sensitivity: number;
  /** Of the standard uncertainty, > 0. Absent: infinite, the uncertainty itself is not in doubt. */
  readonly degreesOfFreedom?: number;
  /** Inputs observed together share a set and its degrees of freedom. Absent: the input stands alone. */
  readonly set?: string;
}

export interface Estimate {
  readonly value: number;
  readonly terms: readonly Term[];
}

export const exact = (value: number): Estimate => ({ value, terms: [] });

export interface Known {
  readonly value: number;
  readonly standardUncertainty: number;
  readonly degreesOfFreedom?: number;
}

/**
 * An input that nothing else depends on. An uncertainty of 0 leaves no term.
 * @throws RangeError for a value not finite, an uncertainty below 0 or degrees of freedom not above 0
 */
export function input(name: string, unit: string, known: Known): Estimate {
  if (!(known.standardUncertainty >= 0) || !Number.isFinite(known.value)) {
    throw new RangeError(`input ${name}: ${known.value} with standard uncertainty ${known.standardUncertainty}`);
  }
  const degreesOfFreedom = finiteDegreesOfFreedom(name, known.degreesOfFreedom);
  if (known.standardUncertainty === 0) return exact(known.value);
  const term = { input: name, unit, value: known.value, standardUncertainty: known.standardUncertainty, sensitivity: 1 };
  return { value: known.value, terms: [{ ...term, ...degreesOfFreedom }] };
}

/** Infinity is told by absence, which JSON can carry. */
export function finiteDegreesOfFreedom(name: string, degreesOfFreedom = Number.POSITIVE_INFINITY): { readonly degreesOfFreedom?: number } {
  if (!(degreesOfFreedom > 0)) throw new RangeError(`input ${name}: ${degreesOfFreedom} degrees of freedom`);
  return Number.isFinite(degreesOfFreedom) ? { degreesOfFreedom } : {};
}

/**
 * An estimate from others by their partial derivatives.
 * Source: JCGM 100:2008, 5.1.3, eq. (11a), with the correlation of shared inputs carried exactly.
 */
export function combine(value: number, parts: readonly { readonly of: Estimate; readonly partial: number }[]): Estimate {
  const places = new Map<string, number>();
  const terms: Term[] = [];
  const sensitivities: number[] = [];
  for (const { of, partial } of parts) {
    if (partial === 0) continue;
    for (const term of of.terms) {
      const place = places.get(term.input);
      const sensitivity = partial * term.sensitivity;
      if (place === undefined) {
        places.set(term.input, terms.length);
        terms.push(term);
        sensitivities.push(sensitivity);
      } else sensitivities[place] = (sensitivities[place] as number) + sensitivity;
    }
  }
  return { value, terms: terms.map((term, i) => withSensitivity(term, sensitivities[i] as number)) };
}

/** Most terms are plain; copied key by key they cost a fraction of a spread, and a shot's budgets hold some thousands. */
function withSensitivity(term: Term, sensitivity: number): Term {
  if (term.degreesOfFreedom !== undefined || term.set !== undefined) return { ...term, sensitivity };
  const { input, unit, value, standardUncertainty } = term;
  return { input, unit, value, standardUncertainty, sensitivity };
}

/**
 * An estimate as a function of others; partial derivatives by central differences one standard uncertainty wide.
 * Source: JCGM 100:2008, 5.1.3, note 2.
 */
export function derive(of: (...values: number[]) => number, ...estimates: readonly Estimate[]): Estimate {
  return deriveAll((...values) => [of(...values)], ...estimates)[0] as Estimate;
}

/** Several estimates that come out of one function together, such as when and how fast a ball arrives. */
export function deriveAll(of: (...values: number[]) => readonly number[], ...estimates: readonly Estimate[]): readonly Estimate[] {
  const values = estimates.map((estimate) => estimate.value);
  const sides = estimates.map((estimate, i) => {
    const half = standardUncertainty(estimate) / 2;
    const at = (x: number) => of(...values.slice(0, i), x, ...values.slice(i + 1));
    return half === 0 ? undefined : { width: 2 * half, up: at(estimate.value + half), down: at(estimate.value - half) };
  });
  return of(...values).map((value, j) =>
    combine(
      value,
      estimates.map((estimate, i) => {
        const side = sides[i];
        return { of: estimate, partial: side ? ((side.up[j] as number) - (side.down[j] as number)) / side.width : 0 };
      }),
    ),
  );
}

/** k = 1. */
export function standardUncertainty(estimate: Estimate): number {
  return Math.hypot(...estimate.terms.map((term) => term.sensitivity * term.standardUncertainty));
}
