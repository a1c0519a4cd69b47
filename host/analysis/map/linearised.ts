/** The shots about one point of the parameters, as a linear regression. */
import type { MapProblem, MapShot } from './map-shot.ts';
import { layoutOf } from './parameters.ts';
import { remainderRow } from './remainder.ts';
import { launchSlopes } from './slopes.ts';

export interface LinearShot {
  readonly shot: MapShot;
  readonly logVelocity: number;
  /** What the launch model says at z. */
  readonly modelled: number;
  /** With 1 for the gates' shared error. */
  readonly byZ: readonly number[];
  readonly remainder: readonly number[];
  /** Of the logarithm, beside the scatter: what is drawn anew with each shot. */
  readonly ownVariance: number;
}

/** Of the gates' velocities, relative, k = 1: no shot's is better than what all share. */
export function sharedGateUncertainty(shots: readonly MapShot[]): number {
  return Math.min(...shots.map(({ muzzleVelocityMps: { value, standardUncertainty } }) => standardUncertainty / value));
}

export function linearised(problem: MapProblem, shots: readonly MapShot[], z: readonly number[]): readonly LinearShot[] {
  const layout = layoutOf(problem);
  const shared = sharedGateUncertainty(shots);
  return shots.map((shot) => {
    const { setup } = problem;
    const slopes = launchSlopes({ setup, layout, z, firing: shot.firing, gauges: shot });
    const { value, standardUncertainty } = shot.muzzleVelocityMps;
    const byZ = [...slopes.byZ];
    byZ[layout.velocityAt] = shared;
    const { reservoirPressurePa, barrelPressurePa, gasTemperatureK } = shot.readingUncertainty;
    const own = [
      Math.sqrt(Math.max((standardUncertainty / value) ** 2 - shared ** 2, 0)),
      slopes.byReservoirPa * reservoirPressurePa,
      slopes.byBarrelPa * barrelPressurePa,
      slopes.byGasTemperatureK * gasTemperatureK,
    ];
    return {
      shot,
      logVelocity: Math.log(value),
      modelled: slopes.logVelocity,
      byZ,
      remainder: remainderRow(shot.firing, problem.limits),
      ownVariance: own.reduce((sum, u) => sum + u * u, 0),
    };
  });
}
