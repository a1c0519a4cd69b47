/**
 * What the map's fit may change, each in units of what is known of it beforehand: five numbers of the launch model, and
 * the errors that all shots share. A vector z of standard normal deviates stands for all of them.
 */

import type { LaunchParameters } from './launch-model.ts';
import type { FiringConditions } from './launcher-setup.ts';
import type { Gauge, MapProblem } from './map-shot.ts';

interface Prior {
  readonly name: keyof LaunchParameters;
  readonly middle: number;
  /** Standard deviation of the natural logarithm. */
  readonly logStandardDeviation: number;
}

/**
 * Before any shot: what such launchers are like, as far as we know without a source (our own judgement). Broad enough
 * that a dozen shots outweigh it; where they say nothing, the bands are as wide as this leaves them.
 */
export const LAUNCH_PRIORS: readonly Prior[] = [
  { name: 'valveOverBore', middle: 0.6, logStandardDeviation: 0.8 },
  { name: 'openingS', middle: 5e-3, logStandardDeviation: 0.8 },
  { name: 'deadSpaceBores', middle: 4, logStandardDeviation: 0.6 },
  { name: 'frictionPa', middle: 15e3, logStandardDeviation: 0.7 },
  { name: 'airAhead', middle: 1, logStandardDeviation: 0.1 },
];

/** A gauge's error: so much of its claim as an offset, and so much as a share of its reading at the limit of the fill. */
const SHARE = { offset: 0.8, span: 0.6 } as const;

/** Where in z the shared errors stand. */
export interface Layout {
  readonly size: number;
  readonly reservoirAt: ReadonlyMap<string, number>;
  readonly barrelAt: ReadonlyMap<string, number>;
  /** Of all gate velocities together. */
  readonly velocityAt: number;
  readonly problem: Pick<MapProblem, 'reservoirGauges' | 'barrelGauges' | 'limits'>;
}

export function layoutOf(problem: Layout['problem']): Layout {
  const { reservoirGauges, barrelGauges } = problem;
  const first = LAUNCH_PRIORS.length;
  const afterReservoir = first + 2 * reservoirGauges.length;
  const velocityAt = afterReservoir + barrelGauges.length;
  return {
    size: velocityAt + 1,
    reservoirAt: new Map(reservoirGauges.map(({ name }, i) => [name, first + 2 * i])),
    barrelAt: new Map(barrelGauges.map(({ name }, i) => [name, afterReservoir + i])),
    velocityAt,
    problem,
  };
}

export function launchParameters(z: readonly number[]): LaunchParameters {
  const [valveOverBore, openingS, deadSpaceBores, frictionPa, airAhead] = LAUNCH_PRIORS.map(
    ({ middle, logStandardDeviation }, j) => middle * Math.exp(logStandardDeviation * (z[j] ?? 0)),
  ) as [number, number, number, number, number];
  return { valveOverBore, openingS, deadSpaceBores, frictionPa, airAhead };
}

/** What was truly fired with, where the gauges' errors are as z says. */
export function truly(layout: Layout, z: readonly number[], firing: FiringConditions, gauges: UsedGauges): FiringConditions {
  const reservoirAt = layout.reservoirAt.get(gauges.reservoirGauge) as number;
  const { offsetPa, spanPa } = reservoirErrors(layout, gauges.reservoirGauge);
  const share = firing.reservoirPressurePa / layout.problem.limits.reservoirPressurePaMax;
  const barrelErrorPa = (z[layout.barrelAt.get(gauges.barrelGauge) as number] ?? 0) * barrelError(layout, gauges.barrelGauge);
  return {
    ...firing,
    reservoirPressurePa: firing.reservoirPressurePa + (z[reservoirAt] ?? 0) * offsetPa + (z[reservoirAt + 1] ?? 0) * spanPa * share,
    barrelPressurePa: Math.max(firing.barrelPressurePa + barrelErrorPa, 0),
  };
}

export interface UsedGauges {
  readonly reservoirGauge: string;
  readonly barrelGauge: string;
}

/** At one standard deviation; the second where the reading is at the limit. */
export function reservoirErrors(layout: Layout, name: string): { readonly offsetPa: number; readonly spanPa: number } {
  const u = uncertaintyOf(layout.problem.reservoirGauges, name);
  return { offsetPa: SHARE.offset * u, spanPa: SHARE.span * u };
}

export const barrelError = (layout: Layout, name: string): number => uncertaintyOf(layout.problem.barrelGauges, name);

function uncertaintyOf(gauges: readonly Gauge[], name: string): number {
  const gauge = gauges.find((one) => one.name === name);
  if (!gauge) throw new RangeError(`the map's problem has no gauge ${name}`);
  return gauge.standardUncertaintyPa;
}
