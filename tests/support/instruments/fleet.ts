/**
 * Ten boards and instruments of all kinds, 44 channels: 32 of them at 1 kHz. What each channel shows is its own count
 * of samples, so that one that is missing, or comes twice, is known by its number.
 */
import { launcherText } from '../launcher-text.ts';

export type Kind = 'gate-board' | 'firmata' | 'text';

export interface CountedChannel {
  /** In the rig file. */
  readonly name: string;
  readonly board: string;
  /** Channel of a gate board, pin of a Firmata board, 0 of a text instrument. */
  readonly index: number;
  /** The count goes round at it. */
  readonly modulus: number;
  /** The same where alarms are wanted: beyond `alarmAbove` once a round, and well inside before. */
  readonly alarmModulus: number;
  readonly alarmAbove: number;
  readonly ratePerS: number;
}

export interface Member {
  readonly name: string;
  readonly kind: Kind;
  readonly channels: readonly CountedChannel[];
}

const GATE_BOARDS = 4;
const CHANNELS_EACH = 8;
const FIRMATA_BOARDS = 3;
const PINS_EACH = 2;
const TEXT_INSTRUMENTS = 3;
/** Its samples need 0.42 Mbaud; what was missed while a cable was out is fetched beside them. */
export const GATE_BAUD_RATE = 1_000_000;
export const FAST_PERIOD_TICKS = 16_000;
export const BLOCK_SAMPLES = 50;
export const SAMPLING_MS = 20;
export const PRINT_EVERY_S = 0.1;
export const TEXT_MODULUS = 1_000_000;

const several = <T>(count: number, make: (i: number) => T): readonly T[] => Array.from({ length: count }, (_, i) => make(i));

function member(kind: Kind, name: string, channels: number, each: Omit<CountedChannel, 'name' | 'board' | 'index'>): Member {
  return { name, kind, channels: several(channels, (index) => ({ name: `${name}-${index}`, board: name, index, ...each })) };
}

const FAST = { modulus: 65_536, alarmModulus: 2048, alarmAbove: 1500, ratePerS: 1000 };
const SLOW = { modulus: 1024, alarmModulus: 1024, alarmAbove: 700, ratePerS: 1000 / SAMPLING_MS };
const PRINTED = { modulus: TEXT_MODULUS, alarmModulus: 40, alarmAbove: 30, ratePerS: 1 / PRINT_EVERY_S };

export const FLEET: readonly Member[] = [
  ...several(GATE_BOARDS, (i) => member('gate-board', `gates${i + 1}`, CHANNELS_EACH, FAST)),
  ...several(FIRMATA_BOARDS, (i) => member('firmata', `slow${i + 1}`, PINS_EACH, SLOW)),
  ...several(TEXT_INSTRUMENTS, (i) => member('text', `gauge${i + 1}`, 1, PRINTED)),
];

export const CHANNELS: readonly CountedChannel[] = FLEET.flatMap(({ channels }) => channels);
/** Its Firmata board has the weather sensor too. */
export const WITH_WEATHER = 'slow1';
export const boardIdOf = (name: string): string => `CS-${name}`;
/** Any channel's count, in the rig file's volts. */
export const VOLT_PER_COUNT = 0.001;

/** count: each sample has a number of its own. alarm: each channel passes its limit again and again. */
export type Mode = 'count' | 'alarm';

/** @param pathOf  of a member's port */
export function fleetRig(mode: Mode, pathOf: (name: string) => string): string {
  const boards = FLEET.map(({ name, kind }) => `  ${name}: { ${boardKeys(kind, name)}, path: ${JSON.stringify(pathOf(name))} }`);
  const channels = FLEET.flatMap(({ kind, channels: own }) =>
    own.map(
      ({ name, board, index }) => `  ${name}: { measures: voltage, board: ${board}, ${CHANNEL_KEYS[kind](index)}, uncertainty: ± 1 mV }`,
    ),
  );
  return `${launcherText('Heron with many instruments')}boards:
${boards.join('\n')}
gates:
  - { name: A1, pair: A, board: gates1, input: 1, position: 1.5 m ± 0.2 mm }
  - { name: A2, pair: A, board: gates1, input: 2, position: 2.5 m ± 0.2 mm }
channels:
${channels.join('\n')}
  airTemperature: { board: ${WITH_WEATHER}, reads: temperature, uncertainty: ± 1 K }
  airPressure: { board: ${WITH_WEATHER}, reads: pressure, uncertainty: ± 100 Pa }
  airHumidity: { board: ${WITH_WEATHER}, reads: humidity, uncertainty: ± 3 % }
${mode === 'alarm' ? `limits:\n${CHANNELS.map(limitOf).join('\n')}\n` : ''}`;
}

const limitOf = ({ name, alarmAbove }: CountedChannel): string =>
  `  - { channel: ${name}, above: ${alarmAbove * VOLT_PER_COUNT} V, clear: ${5 * VOLT_PER_COUNT} V }`;

function boardKeys(kind: Kind, name: string): string {
  if (kind === 'gate-board') return `baudRate: ${GATE_BAUD_RATE}, boardId: ${boardIdOf(name)}, tickRate: 16 MHz ± 50 ppm rect`;
  if (kind === 'text') return `kind: text, baudRate: 9600, pattern: 'N=(?<count>\\d+)'`;
  return `kind: firmata, baudRate: 57600, samplingInterval: ${SAMPLING_MS} ms${name === WITH_WEATHER ? ', bme280: 0x76' : ''}`;
}

const CHANNEL_KEYS: Readonly<Record<Kind, (index: number) => string>> = {
  'gate-board': (index) => `channel: ${index}, calibration: [[0, 0 V], [65535, 65.535 V]]`,
  firmata: (index) => `reads: A${index}, calibration: [[0, 0 V], [1023, 1.023 V]]`,
  text: () => 'reads: count, unit: mV',
};
