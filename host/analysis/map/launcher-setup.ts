import { adiabaticBoundMps, type DrivingGas } from '../../physics/index.ts';

/** What the rig file says of the launcher: shots of one set-up make one map. */
export interface LauncherSetup {
  readonly gas: DrivingGas;
  readonly reservoirVolumeM3: number;
  readonly boreM: number;
  readonly barrelLengthM: number;
}

/** What a shot is fired with. Pressures absolute. */
export interface FiringConditions {
  /** Settled, just before the firing. */
  readonly reservoirPressurePa: number;
  readonly gasTemperatureK: number;
  /** Of the air ahead of the projectile. */
  readonly barrelPressurePa: number;
  readonly airTemperatureK: number;
  readonly massKg: number;
}

/** No shot of this fill can be faster: all the work of an adiabatic expansion into the barrel, m/s. */
export const boundMps = (setup: LauncherSetup, firing: FiringConditions): number => adiabaticBoundMps({ ...setup, ...firing });
