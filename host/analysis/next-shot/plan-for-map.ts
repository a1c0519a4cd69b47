/** Suggestions for one kind's map, over the rig's permitted region, also before there is a map. */
import type { MapKind, MapRegion, MapSuggestion } from '../../../protocol/index.ts';
import type { FittedMap } from '../map/index.ts';
import { planMapShot, type Region } from './plan-map-shot.ts';

/** Below this part of the limit nobody asks for a map, unless there were such shots. */
const FILL_LOW = 0.08;
/** Of the air's pressure: what a rotary pump holds; unless there were shots below it. */
const BARREL_LOW = 0.02;

export interface PlanWishes {
  readonly reservoirPa?: readonly [low: number, high: number] | undefined;
  readonly barrelPa?: readonly [low: number, high: number] | undefined;
}

/** The permitted region, or the part of it that is wished. */
export function regionOf(
  kind: Pick<MapKind, 'points' | 'reservoirPressurePaMax' | 'ambientPressurePa'>,
  wishes: PlanWishes = {},
): MapRegion {
  const fills = kind.points.map(({ reservoirPressurePa }) => reservoirPressurePa);
  const barrels = kind.points.map(({ barrelPressurePa }) => barrelPressurePa);
  const { reservoirPressurePaMax: most, ambientPressurePa: open } = kind;
  const [fillLow, fillHigh] = wishes.reservoirPa ?? [Math.min(FILL_LOW * most, ...fills), most];
  const [barrelLow, barrelHigh] = wishes.barrelPa ?? [Math.min(BARREL_LOW * open, ...barrels), open];
  return { reservoirPa: [Math.max(fillLow, 1.1 * barrelLow), Math.min(fillHigh, most)], barrelPa: [barrelLow, barrelHigh] };
}

export function suggestionsFor(map: FittedMap, region: MapRegion): readonly MapSuggestion[] {
  return planMapShot(map, { region: region satisfies Region }).map(
    ({ reservoirPressurePa, barrelPressurePa, kind, of, uncertaintyNow, uncertaintyAfter, cost, why }) => ({
      reservoirPressurePa,
      barrelPressurePa,
      kind,
      ...(of === undefined ? {} : { of }),
      uncertaintyNow,
      uncertaintyAfter,
      cost,
      why,
    }),
  );
}
