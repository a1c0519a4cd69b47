/**
 * Which fill and vacuum to shoot next for the map: where a shot shrinks the mean band over the permitted region most, and
 * most where it is widest, for what it costs. A suggestion: it knows nothing of what else speaks for or against a shot.
 */
import type { FittedMap, MapLimits, MapShot } from '../map/index.ts';
import { designOver, leaningMean, type PlaceRows } from './expected-gain.ts';
import { placeRows } from './place-rows.ts';
import { type CostModel, isSame, type SetPoint, shotCost, USUAL_COST } from './shot-cost.ts';

/** What is permitted and of interest. Absolute. */
export interface Region {
  readonly reservoirPa: readonly [low: number, high: number];
  readonly barrelPa: readonly [low: number, high: number];
}

export interface PlanOptions {
  readonly region: Region;
  readonly cost?: CostModel;
  /** Times the hardest fill so far that the next may be at most; default 2. Infinity: anything permitted. */
  readonly stepMax?: number;
}

export interface ShotSuggestion extends SetPoint {
  /** Repeats a shot so far, or goes to a new place. */
  readonly kind: 'new' | 'reshoot';
  /** Of a reshoot: which. */
  readonly of?: string;
  /** Relative standard uncertainty of the map's mean where it is largest in the region: now, and as to be expected after it. */
  readonly uncertaintyNow: number;
  readonly uncertaintyAfter: number;
  /** What it costs, in the cost model's shots. */
  readonly cost: number;
  /** Fall of the region's variance, leaning to its worst place, a unit of cost; the suggestions are in its order. */
  readonly gainPerCost: number;
  /** One sentence. */
  readonly why: string;
}

const STEP_MAX = 2;
/** Places of interest, and where a shot may go: over the root of the fill, and over the barrel's pressure. */
const GRID = { fill: 9, barrel: 4 };
/** That a shot which was left out was as good as any, before it is repeated. Nobody knows. */
const PERHAPS_RIGHT = 0.5;
const SUGGESTIONS = 3;

/** Best first. @param map  of the shots so far, or what is believed before any */
export function planMapShot(map: FittedMap, { region, cost = USUAL_COST, stepMax = STEP_MAX }: PlanOptions): readonly ShotSuggestion[] {
  const grid = gridOf(region);
  const { rowsAt, noiseAt } = placeRows(map);
  const places = grid.map(rowsAt);
  const design = designOver(map.components, places);
  const now = leaningMean(design.now);
  const last = map.problem.shots.at(-1)?.firing;
  const hardestPa = mayBePa(map, stepMax);
  const rated = (point: SetPoint, at: PlaceRows, again: string | undefined, departure?: number) => {
    const noiseVariances = noiseAt(at);
    const after = design.after({ at, noiseVariances });
    const costs = shotCost(cost, point, map.limits, last);
    const residuals = map.components.map(() => Math.log1p(departure ?? 0));
    const shift = departure === undefined ? 0 : PERHAPS_RIGHT * leaningMean(design.squaredShifts({ at, noiseVariances, residuals }));
    return { point, after, again, costs, isDoubted: departure !== undefined, gainPerCost: (now - leaningMean(after) + shift) / costs };
  };
  const fresh = grid.flatMap((point, i) => {
    if (point.reservoirPressurePa > hardestPa) return [];
    const again = map.shotsUsed.find(({ firing }) => isSame(point, firing));
    return [rated(point, places[i] as PlaceRows, again?.id)];
  });
  const doubted = map.setAside.flatMap(({ id, departure }) => {
    const { firing } = map.problem.shots.find((one) => one.id === id) as MapShot;
    return isWithin(firing, region, map.limits) ? [rated(firing, rowsAt(firing), id, departure)] : [];
  });
  return apart([...fresh, ...doubted].toSorted((a, b) => b.gainPerCost - a.gainPerCost)).map(
    ({ point, after, costs, gainPerCost, again, isDoubted }) => ({
      reservoirPressurePa: point.reservoirPressurePa,
      barrelPressurePa: point.barrelPressurePa,
      kind: again === undefined ? 'new' : 'reshoot',
      ...(again === undefined ? {} : { of: again }),
      uncertaintyNow: Math.sqrt(Math.max(...design.now)),
      uncertaintyAfter: Math.sqrt(Math.max(...after)),
      cost: costs,
      gainPerCost,
      why: whyOf(again, isDoubted),
    }),
  );
}

/** Of those at nearly one fill the best: three ways to say the same help nobody to choose. */
function apart<T extends { readonly point: SetPoint; readonly isDoubted: boolean }>(best: readonly T[]): readonly T[] {
  const kept: T[] = [];
  for (const one of best) {
    const { reservoirPressurePa } = one.point;
    const isNear = kept.some(({ point }) => Math.abs(point.reservoirPressurePa - reservoirPressurePa) < FILLS_APART * reservoirPressurePa);
    if (one.isDoubted || !isNear) kept.push(one);
    if (kept.length === SUGGESTIONS) break;
  }
  return kept;
}

const FILLS_APART = 0.1;

/** Up in steps: nobody knows yet what a much harder shot does to launcher and projectile. */
function mayBePa({ problem: { shots, limits } }: FittedMap, stepMax: number): number {
  if (stepMax === Number.POSITIVE_INFINITY) return limits.reservoirPressurePaMax;
  if (shots.length === 0) return FIRST_OF_LIMIT * limits.reservoirPressurePaMax;
  return stepMax * Math.max(...shots.map(({ firing }) => firing.reservoirPressurePa));
}

/** Where nothing was fired yet. */
const FIRST_OF_LIMIT = 0.25;

function whyOf(again: string | undefined, isDoubted: boolean): string {
  if (isDoubted) return `Shot ${again} was left out of the map; the same again tells whether it or the map is wrong.`;
  if (again !== undefined) return 'Here the scatter from shot to shot hides most; the same again brings it down.';
  return 'Here the shots so far leave most of the map open.';
}

const isWithin = (point: SetPoint, { reservoirPa }: Region, { reservoirPressurePaMax }: MapLimits): boolean =>
  point.reservoirPressurePa <= Math.min(reservoirPa[1] * 1.02, reservoirPressurePaMax);

/** Even over the root of the fill, as velocities nearly are, and over the barrel's pressure. */
export function gridOf({ reservoirPa, barrelPa }: Region): readonly SetPoint[] {
  const barrels = barrelPa[0] === barrelPa[1] ? [barrelPa[0]] : stepsOf(barrelPa[0], barrelPa[1], GRID.barrel);
  return stepsOf(Math.sqrt(reservoirPa[0]), Math.sqrt(reservoirPa[1]), GRID.fill).flatMap((root) =>
    barrels.map((barrelPressurePa) => ({ reservoirPressurePa: root * root, barrelPressurePa })),
  );
}

const stepsOf = (from: number, to: number, count: number): readonly number[] =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
