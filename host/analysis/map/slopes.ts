/** The launch model at one firing as the fit sees it: the logarithm of the velocity, and how it changes with everything. */
import { modelVelocityMps } from './launch-model.ts';
import { boundMps, type FiringConditions, type LauncherSetup } from './launcher-setup.ts';
import { barrelError, LAUNCH_PRIORS, type Layout, launchParameters, reservoirErrors, truly, type UsedGauges } from './parameters.ts';

export interface LaunchSlopes {
  /** Natural logarithm of the velocity in m/s; undefined where the gas does not drive the projectile out. */
  readonly logVelocity: number;
  /** By z, but for the last, the gates' own: that is 1 for what gates read and 0 for what is so. */
  readonly byZ: readonly number[];
  readonly byReservoirPa: number;
  readonly byBarrelPa: number;
  readonly byGasTemperatureK: number;
}

/** Below this the logarithm says nothing of use: the projectile stays in the barrel. */
const VELOCITY_MPS_MIN = 1;
const Z_STEP = 0.02;
const RELATIVE_STEP = 0.004;
const BARREL_STEP_PA = 200;

export interface LaunchPoint {
  readonly setup: LauncherSetup;
  readonly layout: Layout;
  readonly z: readonly number[];
  readonly firing: FiringConditions;
  readonly gauges: UsedGauges;
}

export function logVelocityAt({ setup, layout, z, firing, gauges }: LaunchPoint): number {
  return logModel(setup, z, truly(layout, z, firing, gauges));
}

function logModel(setup: LauncherSetup, z: readonly number[], firing: FiringConditions): number {
  const velocityMps = Math.min(modelVelocityMps(setup, launchParameters(z), firing), boundMps(setup, firing));
  return Math.log(Math.max(velocityMps, VELOCITY_MPS_MIN));
}

/**
 * The shared errors of the gauges act as the pressures do. Forward differences, but for the fill: the search comes back to
 * where they are taken, and what is left is a small part of a small slope.
 */
export function launchSlopes({ setup, layout, z, firing, gauges }: LaunchPoint): LaunchSlopes {
  const so = truly(layout, z, firing, gauges);
  const at = (change: Partial<FiringConditions>) => logModel(setup, z, { ...so, ...change });
  const logVelocity = at({});
  const fillStepPa = RELATIVE_STEP * so.reservoirPressurePa;
  const gasStepK = RELATIVE_STEP * so.gasTemperatureK;
  const more = at({ reservoirPressurePa: so.reservoirPressurePa + fillStepPa });
  const byReservoirPa = (more - at({ reservoirPressurePa: so.reservoirPressurePa - fillStepPa })) / (2 * fillStepPa);
  const byBarrelPa = (at({ barrelPressurePa: so.barrelPressurePa + BARREL_STEP_PA }) - logVelocity) / BARREL_STEP_PA;
  const byGasTemperatureK = (at({ gasTemperatureK: so.gasTemperatureK + gasStepK }) - logVelocity) / gasStepK;
  const byZ = new Array<number>(layout.size).fill(0);
  for (const [j] of LAUNCH_PRIORS.entries()) {
    const moved = z.map((value, k) => (k === j ? value + Z_STEP : value));
    byZ[j] = (logModel(setup, moved, so) - logVelocity) / Z_STEP;
  }
  const reservoirAt = layout.reservoirAt.get(gauges.reservoirGauge) as number;
  const { offsetPa, spanPa } = reservoirErrors(layout, gauges.reservoirGauge);
  byZ[reservoirAt] = byReservoirPa * offsetPa;
  byZ[reservoirAt + 1] = (byReservoirPa * spanPa * firing.reservoirPressurePa) / layout.problem.limits.reservoirPressurePaMax;
  byZ[layout.barrelAt.get(gauges.barrelGauge) as number] = byBarrelPa * barrelError(layout, gauges.barrelGauge);
  return { logVelocity, byZ, byReservoirPa, byBarrelPa, byGasTemperatureK };
}
