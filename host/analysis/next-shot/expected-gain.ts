/**
 * What an experiment would teach, before it is made: in a linear model with normal errors that does not depend on what
 * will be measured. For any map or curve that is a mixture of such models.
 * Criterion: the mean variance over all places of interest (I-optimality). Source: V. V. Fedorov, Theory of Optimal
 * Experiments (1972), from memory; the update by one observation is that of a normal–normal posterior.
 */
import { covarianceAlong, type LinearGaussian, varianceAlong } from '../../metrology/index.ts';

/** One model of several, with its share of the belief and what is known of its coefficients. */
export interface Known {
  readonly weight: number;
  readonly posterior: Pick<LinearGaussian, 'covariance'>;
}

/** A place on the map or curve: what is there, as a row of coefficients, one a model. */
export type PlaceRows = readonly (readonly number[])[];

export interface Experiment {
  readonly at: PlaceRows;
  /** Of one measurement there, one a model. */
  readonly noiseVariances: readonly number[];
}

/** Mean over the places, each a share of one. */
export function meanVariance(known: readonly Known[], places: readonly PlaceRows[]): number {
  return meanOf(places, (rows) => sumOver(known, (posterior, i) => varianceAlong(posterior, rows[i] as readonly number[])));
}

/** By how much that mean would fall. */
export function expectedGain(known: readonly Known[], places: readonly PlaceRows[], { at, noiseVariances }: Experiment): number {
  const spread = known.map(({ posterior }, i) => varianceAlong(posterior, at[i] as readonly number[]) + (noiseVariances[i] as number));
  return meanOf(places, (rows) =>
    sumOver(
      known,
      (posterior, i) => covarianceAlong(posterior, rows[i] as readonly number[], at[i] as readonly number[]) ** 2 / (spread[i] as number),
    ),
  );
}

/**
 * Mean square by which the map would move, were an observation that has been left out as good as the others.
 * @param residuals  of that observation, one a model
 */
export function meanSquareShift(
  known: readonly Known[],
  places: readonly PlaceRows[],
  { at, noiseVariances, residuals }: Experiment & { readonly residuals: readonly number[] },
): number {
  const pull = known.map(
    ({ posterior }, i) => (residuals[i] as number) / (varianceAlong(posterior, at[i] as readonly number[]) + (noiseVariances[i] as number)),
  );
  return meanOf(places, (rows) =>
    sumOver(
      known,
      (posterior, i) => (covarianceAlong(posterior, rows[i] as readonly number[], at[i] as readonly number[]) * (pull[i] as number)) ** 2,
    ),
  );
}

function sumOver(known: readonly Known[], of: (posterior: Known['posterior'], index: number) => number): number {
  let [sum, total] = [0, 0];
  for (const [i, { weight, posterior }] of known.entries()) {
    sum += weight * of(posterior, i);
    total += weight;
  }
  return sum / total;
}

const meanOf = <T>(all: readonly T[], of: (one: T) => number): number => all.reduce((sum, one) => sum + of(one), 0) / all.length;
