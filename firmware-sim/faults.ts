/** All that `--faults` may name. */
import { LINE_FAULTS } from './wires/faults.ts';
import { RANGE_FAULTS } from './world/faults.ts';

/**
 * Faults of instruments and of what they measure. Those that strike in the course of a session do so half way to the
 * first firing.
 * - silent-weather: the weather board stops
 * - stuck-gauge: the fill gauge goes on printing what it showed
 * - garbled-text: one line in five of the text instruments is cut short, and one in five is noise
 * - wrong-device: another instrument is plugged in where the weather board should be
 * - sun-on-sensor: the sun comes round to the weather sensor
 * - leaky: vessel and barrel leak
 * - calibration-due: the reservoir's transducer is past the date of its calibration, by the rig file
 */
export const INSTRUMENT_FAULTS = [
  'silent-weather',
  'stuck-gauge',
  'garbled-text',
  'wrong-device',
  'sun-on-sensor',
  'leaky',
  'calibration-due',
] as const;

/** `unplug` takes the gate board's wire out around a firing; the line's faults are on that wire too. */
export const FAULTS = [...LINE_FAULTS, 'unplug', ...RANGE_FAULTS, ...INSTRUMENT_FAULTS] as const;
export type FaultName = (typeof FAULTS)[number];
