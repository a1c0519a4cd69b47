/** How many shots a planned campaign needs for a map of a given uncertainty, and how many an even grid needs. */
import { type FittedMap, fitMap, type MapShot, mapBefore } from '../../../host/analysis/map/index.ts';
import { type CostModel, designOver, gridOf, placeRows, planMapShot, type Region } from '../../../host/analysis/next-shot/index.ts';
import { AMBIENT_PA, problemOf, SimulatedWorld } from './simulated-shots.ts';

export interface Needed {
  /** Of the map's mean, relative, k = 1. */
  readonly uncertainty: number;
  /** Mean over the campaigns; those that never get there count as one step more than the most that was tried. */
  readonly grid: number;
  readonly planned: number;
}

export interface Comparison {
  /** By the largest uncertainty in the region. */
  readonly largest: readonly Needed[];
  /** By the root mean square over it. */
  readonly rootMeanSquare: readonly Needed[];
}

const REGION: Region = { reservoirPa: [0.35e6, 3.85e6], barrelPa: [2e3, AMBIENT_PA] };
/** Steps of fill by steps of barrel pressure, both evenly spaced with the ends. */
const GRIDS = [
  [2, 2],
  [3, 2],
  [4, 2],
  [3, 3],
  [4, 3],
  [5, 3],
  [6, 3],
  [5, 4],
] as const;
const GRID_BEYOND = 24;
const PLANNED_MAX = 14;
/** What is counted here is shots; and the grid too goes from the gentlest to the hardest in long steps. */
const SHOTS_ALONE: CostModel = { gasAtLimit: 0, pumpedHundredfold: 0, sameAgain: 0 };

interface Reached {
  readonly shots: number;
  readonly largest: number;
  readonly rms: number;
}

export function comparePlans(options: {
  readonly firstSeed: number;
  readonly campaigns: number;
  readonly uncertainties: readonly number[];
}): Comparison {
  const { firstSeed, campaigns, uncertainties } = options;
  const seeds = Array.from({ length: campaigns }, (_, i) => firstSeed + i);
  const grids = seeds.map(gridded);
  const plans = seeds.map(planned);
  const needed = (by: 'largest' | 'rms'): readonly Needed[] =>
    uncertainties.map((uncertainty) => ({
      uncertainty,
      grid: meanOf(grids.map((steps) => steps.find((step) => step[by] <= uncertainty)?.shots ?? GRID_BEYOND)),
      planned: meanOf(plans.map((steps) => steps.find((step) => step[by] <= uncertainty)?.shots ?? PLANNED_MAX + 1)),
    }));
  return { largest: needed('largest'), rootMeanSquare: needed('rms') };
}

function gridded(seed: number): readonly Reached[] {
  return GRIDS.map(([fills, barrels]) => {
    const range = new SimulatedWorld({ seed });
    const shots = steps(REGION.reservoirPa, fills).flatMap((fillPa) =>
      steps(REGION.barrelPa, barrels).map((barrelPa) => range.shoot(fillPa, barrelPa).shot),
    );
    return reached(shots, fitMap(problemOf(shots)));
  });
}

function planned(seed: number): readonly Reached[] {
  const range = new SimulatedWorld({ seed });
  const shots: MapShot[] = [];
  const so: Reached[] = [];
  let map: FittedMap | undefined = mapBefore(problemOf([]), range.like());
  while (map && shots.length < PLANNED_MAX) {
    const [best] = planMapShot(map, { region: REGION, cost: SHOTS_ALONE, stepMax: Number.POSITIVE_INFINITY });
    if (!best) break;
    shots.push(range.shoot(best.reservoirPressurePa, best.barrelPressurePa).shot);
    map = fitMap(problemOf([...shots]), { from: shots.length === 1 ? undefined : map });
    so.push(reached(shots, map));
  }
  return so;
}

function reached(shots: readonly MapShot[], map: FittedMap | undefined): Reached {
  if (!map) return { shots: shots.length, largest: Number.POSITIVE_INFINITY, rms: Number.POSITIVE_INFINITY };
  const { now } = designOver(map.components, gridOf(REGION).map(placeRows(map).rowsAt));
  return { shots: shots.length, largest: Math.sqrt(Math.max(...now)), rms: Math.sqrt(meanOf(now)) };
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const steps = ([from, to]: readonly [number, number], count: number): readonly number[] =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
