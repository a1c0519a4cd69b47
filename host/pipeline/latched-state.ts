import type { Latched } from '../../protocol/index.ts';

/** The air and the pressures just before a firing. */
export interface LatchedState {
  readonly airTemperatureK: Latched;
  readonly airPressurePa: Latched;
  readonly airHumidity: Latched;
  /** There is a reading of the air, and it is too old to use. */
  readonly airIsStale: boolean;
  /** Its sensor stands in the sun; the uncertainty allows for it. */
  readonly airIsInSun: boolean;
  /** Along the range, from behind; what was measured, else what the rig file says. */
  readonly tailwindMps: Latched;
  /** Of the gas; undefined where nobody measures it. */
  readonly reservoirTemperatureK: Latched | undefined;
  /** Absolute; undefined where the channel never spoke, or the rig has none. */
  readonly reservoirPressurePa: Latched | undefined;
  readonly barrelPressurePa: Latched | undefined;
}
