/** All that `--faults` may name. */
import { LINE_FAULTS } from './wires/faults.ts';
import { RANGE_FAULTS } from './world/faults.ts';

/** Faults of instruments and of what they measure. Those that strike in the course of a session do so half way to the first firing. */
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

/** Of each in one line, for whoever chooses. */
export const FAULT_WORDS: Readonly<Record<FaultName, string>> = {
  corrupt: 'a bit of a frame from the gate board is flipped now and then',
  drop: 'a frame from the gate board is lost now and then',
  truncate: 'a frame from the gate board is cut short now and then',
  duplicate: 'a frame from the gate board comes twice now and then',
  garbage: 'noise comes before a frame from the gate board now and then',
  unplug: 'the gate board’s wire is out around a firing',
  'missed-gate': 'one gate does not see the ball',
  'double-edge': 'a gate’s comparator chatters: one edge comes as three',
  fragments: 'pieces of the film fly ahead of the ball',
  blast: 'the muzzle blast makes the beams flicker',
  'noise-burst': 'the valve’s current couples into the gate lines',
  'light-flicker': 'all beams dim together a hundred times a second',
  'silent-weather': 'the weather board stops',
  'stuck-gauge': 'the fill gauge goes on printing what it showed',
  'garbled-text': 'one line in five of the text instruments is cut short, and one in five is noise',
  'wrong-device': 'another instrument is plugged in where the weather board should be',
  'sun-on-sensor': 'the sun comes round to the weather sensor',
  leaky: 'vessel and barrel leak',
  'calibration-due': 'the reservoir’s transducer is past the date of its calibration, by the rig file',
};

export function faultLines(): readonly string[] {
  const width = Math.max(...FAULTS.map((name) => name.length));
  return FAULTS.map((name) => `  ${name.padEnd(width)}  ${FAULT_WORDS[name]}`);
}
