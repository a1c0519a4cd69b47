/**
 * The pressure–velocity map of one launcher and one kind of projectile, from its shots.
 *
 * The logarithm of each velocity is the launch model's at what the gauges read, moved by errors that all shots share
 * (the gauges', the gates'), plus a smooth remainder where the shots ask for one, plus a scatter from shot to shot of
 * unknown size. The launch model's parameters are searched for; about what is found, all else is linear and done whole,
 * for every hypothesis of scatter and remainder. Pressures are uncertain too: what is drawn anew with each reading
 * widens that shot by the slope there (effective variance), what the gauges have in common is fitted with them.
 */
import { linearGaussian } from '../../metrology/index.ts';
import { dot, weighHypotheses } from './components.ts';
import type { FittedMap, MapComponent } from './fitted-map.ts';
import { SCATTER_BEFORE } from './hypotheses.ts';
import { type LinearShot, linearised } from './linearised.ts';
import type { MapProblem, MapShot } from './map-shot.ts';
import { layoutOf } from './parameters.ts';
import { leaveOneOut, scoreOutside } from './scores.ts';
import { SHOTS_MIN } from './shots-min.ts';
import { logVelocityAt } from './slopes.ts';

/** The newest; more would take long and say little more. */
export const SHOTS_MAX = 600;
/** Chosen from all over the map for the search, which is the slow part. */
const SEARCHED_MAX = 40;
/** A shot so improbable, in any of them all, is left out of the fit and named. */
const OUTLIER_PROBABILITY = 0.01;
/** At most this part of the shots. */
const OUTLIERS_SHARE_MAX = 0.25;

export interface FitOptions {
  /** Where the search begins: a map of fewer of these shots, made before. */
  readonly from?: FittedMap | undefined;
}

/** @returns undefined where there is no shot, or no launch of this kind explains them */
export function fitMap(problem: MapProblem, { from }: FitOptions = {}): FittedMap | undefined {
  const shots = problem.shots.slice(-SHOTS_MAX);
  const newest = shots.at(-1);
  if (!newest) return undefined;
  let used: readonly MapShot[] = shots;
  let z: readonly number[] | undefined = from && from.z.length === layoutOf(problem).size ? from.z : undefined;
  for (;;) {
    const fitted = fitOnce(problem, used, z);
    if (!fitted) return undefined;
    z = fitted.z;
    const scores = leaveOneOut(fitted.linear, z, fitted.components);
    const worst = scores.reduce((a, b) => (b.tailProbability < a.tailProbability ? b : a));
    const isOut = worst.tailProbability * used.length < OUTLIER_PROBABILITY;
    const mayLeave = used.length > SHOTS_MIN && shots.length - used.length + 1 <= OUTLIERS_SHARE_MAX * shots.length;
    if (isOut && mayLeave) {
      used = used.filter(({ id }) => id !== worst.id);
      continue;
    }
    const aside = shots.filter((shot) => !used.includes(shot));
    const { reservoirGauge, barrelGauge, firing } = newest;
    const { gasTemperatureK, airTemperatureK, massKg } = firing;
    return {
      setup: problem.setup,
      limits: problem.limits,
      problem,
      z,
      components: fitted.components,
      shotsUsed: used,
      scores,
      setAside: aside.length === 0 ? [] : scoreOutside(linearised(problem, aside, z), z, fitted.components),
      gauges: { reservoirGauge, barrelGauge },
      present: { gasTemperatureK, airTemperatureK, massKg },
    };
  }
}

interface FittedOnce {
  readonly z: readonly number[];
  readonly linear: readonly LinearShot[];
  readonly components: readonly MapComponent[];
}

/** Of a scatter so many times larger or smaller than was taken, the search is made anew with it. */
const SCATTER_FACTOR = 1.6;

function fitOnce(problem: MapProblem, shots: readonly MapShot[], from: readonly number[] | undefined): FittedOnce | undefined {
  let start = from ?? new Array<number>(layoutOf(problem).size).fill(0);
  let scatter = SCATTER_BEFORE;
  for (let round = 0; ; round++) {
    const z = search(problem, spread(shots), start, scatter);
    if (!z) return undefined;
    const linear = linearised(problem, shots, z);
    const components = weighHypotheses(linear, z);
    const found = Math.exp(components.reduce((sum, { weight, scatter: s }) => sum + weight * Math.log(s), 0));
    if (round === 1 || Math.abs(Math.log(found / scatter)) < Math.log(SCATTER_FACTOR)) return { z, linear, components };
    [start, scatter] = [z, found];
  }
}

/** Steps of the search; in units of the prior, so long at most, and so short that it is over. */
const SEARCH = { stepsMax: 12, longest: 1.5, shortest: 0.05, halvings: 5 };

/**
 * The most probable z, the remainder left out, by Gauss–Newton: each step is the linear regression about the last one,
 * halved while it leads uphill. What is then still missing to the very bottom the linear part makes good.
 */
function search(problem: MapProblem, shots: readonly MapShot[], start: readonly number[], scatter: number): readonly number[] | undefined {
  let z = start;
  let linear = linearised(problem, shots, z);
  for (let step = 0; step < SEARCH.stepsMax; step++) {
    const here = costOf(problem, shots, z, linear, scatter);
    if (!Number.isFinite(here)) return undefined;
    const { mean } = linearGaussian(
      linear.map(({ byZ }) => byZ),
      linear.map(({ logVelocity, modelled, byZ }) => logVelocity - modelled + dot(byZ, z)),
      linear.map(({ ownVariance }) => ownVariance + scatter ** 2),
    );
    const move = mean.map((value, j) => value - (z[j] as number));
    const length = Math.max(...move.map(Math.abs));
    let share = Math.min(1, SEARCH.longest / length);
    const moved = (): readonly number[] => z.map((value, j) => value + share * (move[j] as number));
    for (let halving = 0; halving < SEARCH.halvings && !(costOf(problem, shots, moved(), linear, scatter) <= here); halving++) share /= 2;
    z = moved();
    if (share * length < SEARCH.shortest) return z;
    linear = linearised(problem, shots, z);
  }
  return z;
}

/** Twice the negative logarithm of the posterior density, the shots weighted as at the last linearisation. */
function costOf(
  problem: MapProblem,
  shots: readonly MapShot[],
  z: readonly number[],
  weights: readonly LinearShot[],
  scatter: number,
): number {
  const { setup } = problem;
  const layout = layoutOf(problem);
  const prior = z.reduce((sum, value) => sum + value * value, 0);
  return shots.reduce((sum, shot, i) => {
    const { logVelocity, ownVariance, byZ } = weights[i] as LinearShot;
    const gates = (byZ[layout.velocityAt] as number) * (z[layout.velocityAt] as number);
    const off = logVelocity - gates - logVelocityAt({ setup, layout, z, firing: shot.firing, gauges: shot });
    return sum + off ** 2 / (ownVariance + scatter ** 2);
  }, prior);
}

/** At most SEARCHED_MAX of them, from the lowest fill to the highest. */
function spread(shots: readonly MapShot[]): readonly MapShot[] {
  if (shots.length <= SEARCHED_MAX) return shots;
  const byFill = shots.toSorted((a, b) => a.firing.reservoirPressurePa - b.firing.reservoirPressurePa);
  return Array.from({ length: SEARCHED_MAX }, (_, i) => byFill[Math.round((i * (byFill.length - 1)) / (SEARCHED_MAX - 1))] as MapShot);
}
