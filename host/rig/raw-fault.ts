import type { RawFault } from '../../protocol/index.ts';

/** What each code says to a person. */
export const RAW_FAULTS: Readonly<Record<RawFault, string>> = {
  'railed-low': 'the raw number is at the lowest that the converter gives: shorted, unpowered or unplugged',
  'railed-high': 'the raw number is at the highest that the converter gives: open, overdriven or wired to the supply',
  'loop-open': 'the loop carries 3.6 mA or less: a broken wire, no supply, or a transmitter that signals its own failure',
  'loop-short': 'the loop carries 21 mA or more: a short circuit, or a transmitter that signals its own failure',
  'outside-range': 'the reading is outside what the channel is calibrated for or the instrument can tell',
};
