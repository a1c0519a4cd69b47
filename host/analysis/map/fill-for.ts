/** The map read backwards: what fill gives a velocity. */
import type { FittedMap } from './fitted-map.ts';
import { type MapQuestion, type Prediction, predictVelocity } from './predict.ts';
import { risingRoot } from './rising-root.ts';
import { type SupportOf, supportOf } from './support.ts';

export interface VelocityWanted {
  readonly velocityMps: number;
  readonly barrelPressurePa: number;
  readonly gasTemperatureK?: number | undefined;
  readonly airTemperatureK?: number | undefined;
  readonly massKg?: number | undefined;
}

export type FillAnswer =
  | {
      readonly kind: 'fill';
      /** Absolute, settled, as the gauge reads. */
      readonly reservoirPressurePa: number;
      /** 95 %: where the mean velocity is the one wanted. Cut at the rig's maximum fill. */
      readonly lowPa: number;
      readonly highPa: number;
      readonly expected: Prediction;
    }
  | {
      readonly kind: 'refused';
      readonly why: 'above the limit' | 'not supported' | 'too slow';
      /** One sentence. */
      readonly message: string;
      /** What shot would help; absent where none can. */
      readonly shotThatHelps?: { readonly reservoirPressurePa: number; readonly barrelPressurePa: number };
    };

/** No launcher is fired with less above the pressure ahead; so the search begins above it. */
const START = 1.02;

/** @param wanted.velocityMps  > 0 */
export function fillFor(map: FittedMap, wanted: VelocityWanted, support: SupportOf = supportOf(map.shotsUsed, map.limits)): FillAnswer {
  const { velocityMps, ...rest } = wanted;
  const maxPa = map.limits.reservoirPressurePaMax;
  const at = (reservoirPressurePa: number) => predictVelocity(map, { ...rest, reservoirPressurePa } satisfies MapQuestion);
  const lowestPa = Math.min(START * wanted.barrelPressurePa + 1e3, maxPa);
  const solve = (of: (prediction: Prediction) => number): number | undefined =>
    risingRoot((pressurePa) => of(at(pressurePa)) - velocityMps, lowestPa, maxPa);
  const found = solve(({ mean }) => mean.velocityMps);
  if (found === undefined) return aboveTheLimit(map, wanted, at(maxPa), support);
  const expected = at(found);
  const { isSupported, reason } = support(expected.asked);
  if (!isSupported) {
    return {
      kind: 'refused',
      why: 'not supported',
      message: `The shots do not support an answer: by the launch model alone it would be ${reason}.`,
      shotThatHelps: towards(map, expected, support),
    };
  }
  return {
    kind: 'fill',
    reservoirPressurePa: found,
    lowPa: solve(({ mean }) => mean.highMps) ?? lowestPa,
    highPa: solve(({ mean }) => mean.lowMps) ?? maxPa,
    expected,
  };
}

function aboveTheLimit(map: FittedMap, wanted: VelocityWanted, most: Prediction, support: SupportOf): FillAnswer {
  const { velocityMps } = wanted;
  if (velocityMps > most.boundMps) {
    return {
      kind: 'refused',
      why: 'above the limit',
      message: 'No launcher reaches it with this gas at the maximum fill, whatever its valve: it is above the adiabatic bound.',
    };
  }
  const isKnown = support(most.asked).isSupported;
  const message = `At the maximum fill the map gives ${isKnown ? '' : 'no more than about '}${most.mean.velocityMps.toFixed(1)} m/s, and no fill above it is ever suggested.`;
  return isKnown
    ? { kind: 'refused', why: 'above the limit', message }
    : { kind: 'refused', why: 'above the limit', message, shotThatHelps: towards(map, most, support) };
}

/**
 * The shot that widens the support towards what was asked: from the nearest supported fill so far that its neighbours
 * still foretell it, no further than the place itself.
 */
function towards(
  map: FittedMap,
  { asked }: Prediction,
  support: SupportOf,
): { readonly reservoirPressurePa: number; readonly barrelPressurePa: number } {
  const fills = map.shotsUsed.map(({ firing }) => firing.reservoirPressurePa);
  const [low, high] = [Math.min(...fills), Math.max(...fills)];
  const { barrelPressurePa } = asked;
  // In steps: twice as hard a shot as any before would be a leap into the dark.
  const reservoirPressurePa = Math.min(
    Math.max(asked.reservoirPressurePa, low / STEP_MAX),
    high * STEP_MAX,
    map.limits.reservoirPressurePaMax,
  );
  return support({ ...asked, reservoirPressurePa }).isSupported
    ? { reservoirPressurePa: asked.reservoirPressurePa, barrelPressurePa }
    : { reservoirPressurePa, barrelPressurePa };
}

const STEP_MAX = 1.4;
