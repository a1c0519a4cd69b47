/** What velocity to expect, by the map. */
import { mixtureMoments, mixtureQuantile, type NormalPart, varianceAlong } from '../../metrology/index.ts';
import { componentRow, dot, scatterAt } from './components.ts';
import type { FittedMap } from './fitted-map.ts';
import { boundMps, type FiringConditions } from './launcher-setup.ts';
import type { MapShot } from './map-shot.ts';
import { layoutOf } from './parameters.ts';
import { remainderRow } from './remainder.ts';
import { type LaunchSlopes, launchSlopes } from './slopes.ts';

/** As the gauges will read it. Pressures absolute; temperatures left out are as at the newest shot, give or take what they were at the others. */
export interface MapQuestion {
  readonly reservoirPressurePa: number;
  readonly barrelPressurePa: number;
  readonly gasTemperatureK?: number | undefined;
  readonly airTemperatureK?: number | undefined;
  readonly massKg?: number | undefined;
}

/** 95 %, with the velocity that is as likely too high as too low. */
export interface VelocityBand {
  readonly velocityMps: number;
  readonly lowMps: number;
  readonly highMps: number;
  /** k = 1. */
  readonly standardUncertaintyMps: number;
}

export interface Prediction {
  readonly asked: FiringConditions;
  /** Of the mean of many shots. */
  readonly mean: VelocityBand;
  /** Of one more shot: with its own scatter. */
  readonly nextShot: VelocityBand;
  /** What no shot of this fill can reach. */
  readonly boundMps: number;
}

const COVERED = [0.025, 0.975] as const;
const NONE: VelocityBand = { velocityMps: 0, lowMps: 0, highMps: 0, standardUncertaintyMps: 0 };

/** Whether or not the shots support it: see support.ts. */
export function predictVelocity(map: FittedMap, question: MapQuestion): Prediction {
  const asked = askedOf(map, question);
  const limit = boundMps(map.setup, asked);
  if (!(asked.reservoirPressurePa > asked.barrelPressurePa)) return { asked, mean: NONE, nextShot: NONE, boundMps: limit };
  const { mean, nextShot } = logVelocityParts(map, asked, question);
  return { asked, mean: bandOf(mean, limit), nextShot: bandOf(nextShot, limit), boundMps: limit };
}

export const askedOf = ({ present }: FittedMap, question: MapQuestion): FiringConditions => ({
  reservoirPressurePa: question.reservoirPressurePa,
  barrelPressurePa: question.barrelPressurePa,
  gasTemperatureK: question.gasTemperatureK ?? present.gasTemperatureK,
  airTemperatureK: question.airTemperatureK ?? present.airTemperatureK,
  massKg: question.massKg ?? present.massKg,
});

/** Of the natural logarithm of the velocity in m/s, one part a hypothesis. */
export function logVelocityParts(
  map: FittedMap,
  asked: FiringConditions,
  known: Pick<MapQuestion, 'gasTemperatureK'> = asked,
): { readonly mean: readonly NormalPart[]; readonly nextShot: readonly NormalPart[] } {
  const { z, problem, setup, gauges } = map;
  const slopes = launchSlopes({ setup, layout: layoutOf(problem), z, firing: asked, gauges });
  const remainder = remainderRow(asked, problem.limits);
  const own = ownVariance(map, slopes, known.gasTemperatureK !== undefined);
  const parts = map.components.map((component) => {
    const { weight, amplitude, posterior } = component;
    const row = componentRow(amplitude, slopes.byZ, remainder);
    const mean = slopes.logVelocity - dot(slopes.byZ, z) + dot(row, posterior.mean);
    return { weight, mean, variance: varianceAlong(posterior, row), scatter: scatterAt(component, slopes.byZ) };
  });
  return {
    mean: parts.map(({ weight, mean, variance }) => ({ weight, mean, standardDeviation: Math.sqrt(variance) })),
    nextShot: parts.map(({ weight, mean, variance, scatter }) => ({
      weight,
      mean,
      standardDeviation: Math.sqrt(variance + scatter ** 2 + own),
    })),
  };
}

/** Of the next readings, as those of the shots before were. */
function ownVariance({ shotsUsed }: FittedMap, slopes: LaunchSlopes, isGasKnown: boolean): number {
  const typical = (of: keyof MapShot['readingUncertainty']): number => {
    const sorted = shotsUsed.map(({ readingUncertainty }) => readingUncertainty[of]).toSorted((a, b) => a - b);
    return sorted[Math.floor(sorted.length / 2)] ?? 0;
  };
  const gasK = Math.hypot(typical('gasTemperatureK'), isGasKnown ? 0 : spreadOf(shotsUsed.map(({ firing }) => firing.gasTemperatureK)));
  return (
    (slopes.byReservoirPa * typical('reservoirPressurePa')) ** 2 +
    (slopes.byBarrelPa * typical('barrelPressurePa')) ** 2 +
    (slopes.byGasTemperatureK * gasK) ** 2
  );
}

function spreadOf(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(values.length - 1, 1));
}

/** @param limitMps  nothing above it is possible */
export function bandOf(parts: readonly NormalPart[], limitMps: number): VelocityBand {
  const speed = (probability: number): number => Math.min(Math.exp(mixtureQuantile(parts, probability)), limitMps);
  const velocityMps = speed(0.5);
  return {
    velocityMps,
    lowMps: speed(COVERED[0]),
    highMps: speed(COVERED[1]),
    standardUncertaintyMps: velocityMps * mixtureMoments(parts).standardDeviation,
  };
}
