/**
 * What an experiment would teach, before it is made: in a linear model with normal errors that does not depend on what
 * will be measured. For any map or curve that is a mixture of such models; `plan-map-shot.ts` uses it for the map.
 * Source: V. V. Fedorov, Theory of Optimal Experiments (1972), from memory; the update by one observation is that of a
 * normal–normal posterior.
 */
import { type LinearGaussian, varianceAlong } from '../../metrology/index.ts';

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

/** Variances at the places of interest, one each. */
export interface Design {
  readonly now: readonly number[];
  /** As they would be after the experiment. */
  after(experiment: Experiment): readonly number[];
  /**
   * Squares by which the map would move, were an observation that has been left out as good as the others.
   * @param residuals  of that observation, one a model
   */
  squaredShifts(experiment: Experiment & { readonly residuals: readonly number[] }): readonly number[];
}

export function designOver(known: readonly Known[], places: readonly PlaceRows[]): Design {
  const total = known.reduce((sum, { weight }) => sum + weight, 0);
  // Covariance times each place's row, once for all experiments.
  const halves = places.map((rows) => known.map(({ posterior }, i) => posterior.covariance.map((along) => dot(along, row(rows, i)))));
  const mixed = (of: (model: number) => number): number => known.reduce((sum, { weight }, i) => sum + weight * of(i), 0) / total;
  const spreadOf = ({ at, noiseVariances }: Experiment): readonly number[] =>
    known.map(({ posterior }, i) => varianceAlong(posterior, row(at, i)) + (noiseVariances[i] as number));
  const now = places.map((rows, p) => mixed((i) => dot((halves[p] as Halves)[i] as readonly number[], row(rows, i))));
  const common = (p: number, i: number, { at }: Experiment): number => dot((halves[p] as Halves)[i] as readonly number[], row(at, i));
  return {
    now,
    after: (experiment) => {
      const spread = spreadOf(experiment);
      return now.map((variance, p) => Math.max(variance - mixed((i) => common(p, i, experiment) ** 2 / (spread[i] as number)), 0));
    },
    squaredShifts: (experiment) => {
      const spread = spreadOf(experiment);
      return places.map((_, p) =>
        mixed((i) => ((common(p, i, experiment) * (experiment.residuals[i] as number)) / (spread[i] as number)) ** 2),
      );
    },
  };
}

type Halves = readonly (readonly number[])[];

const row = (rows: PlaceRows, model: number): readonly number[] => rows[model] as readonly number[];

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < b.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}

/** Between the mean of all places (1) and the worst alone (∞): a map is to be known everywhere, and still on average. */
const LEANING = 4;

/** One variance for all the places, leaning to the largest. */
export const leaningMean = (variances: readonly number[]): number =>
  (variances.reduce((sum, variance) => sum + variance ** LEANING, 0) / variances.length) ** (1 / LEANING);
