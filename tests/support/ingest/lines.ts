/** The lines of a gate board between two shots: eight channels at 1 kHz in blocks of 50, and a heartbeat a second. */

import { encodeMessage } from '../../../protocol/index.ts';
import { launcherText } from '../launcher-text.ts';

export const BOARD_ID = 'CS-FLOOD';
export const BAUD_RATE = 1_000_000;
export const TICK_RATE_HZ = 16_000_000;
export const BLOCK_SAMPLES = 50;
const PERIOD_TICKS = 16_000;
const BLOCKS_A_SECOND = 1000 / BLOCK_SAMPLES;

/** The two that are watched as the demonstration's are, then others. */
const CHANNELS = ['reservoirPressure', 'barrelPressure', 'strain1', 'strain2', 'strain3', 'strain4', 'strain5', 'strain6'] as const;

export interface FloodOptions {
  /** Blocks of samples; heartbeats come on top. */
  readonly blocks: number;
  readonly fromSeq: number;
  readonly fromTicks: number;
  /** From 1 to 16 (WIRE.channelsMax); left out: eight. */
  readonly channels?: number;
}

export interface Flood {
  readonly bytes: Buffer;
  readonly lines: number;
  readonly nextSeq: number;
  readonly nextTicks: number;
}

/** Time goes on in them as in a session; how fast they come is the wire's. */
export function floodLines({ blocks, fromSeq, fromTicks, channels = CHANNELS.length }: FloodOptions): Flood {
  const lines: string[] = [];
  const say = (message: Parameters<typeof encodeMessage>[0]): void => void lines.push(encodeMessage(message, fromSeq + lines.length));
  let ticks = fromTicks;
  for (let block = 0; block < blocks; block += 1) {
    const channel = block % channels;
    const counts = Array.from({ length: BLOCK_SAMPLES }, (_, i) => countAt(channel, Math.floor(block / channels) * BLOCK_SAMPLES + i));
    say({ kind: 'DATA', stream: 'slow', channel, ticks, periodTicks: PERIOD_TICKS, counts });
    if (channel < channels - 1) continue;
    ticks += BLOCK_SAMPLES * PERIOD_TICKS;
    if (block % (channels * BLOCKS_A_SECOND) !== channels * BLOCKS_A_SECOND - 1) continue;
    say({ kind: 'BEAT', ticks, edgesCaptured: 0, edgesLost: 0, edgesHeld: 0, inputsActive: 0, hostLinesBad: 0 });
  }
  return { bytes: Buffer.from(`${lines.join('\n')}\n`, 'latin1'), lines: lines.length, nextSeq: fromSeq + lines.length, nextTicks: ticks };
}

/** A slow swing with a few counts of ripple: no count is like the one before, as of a real converter. */
const countAt = (channel: number, i: number): number =>
  Math.round(30_000 + 2000 * channel + 5000 * Math.sin(i / 40_000) + 4 * Math.sin(i * 1.7) + 3 * Math.sin(i * 0.37));

const CALIBRATIONS: Readonly<Record<string, string>> = {
  reservoirPressure: '[[6553, 0 MPa gauge], [58981, 6 MPa gauge]], uncertainty: ± 0.25 % of span',
  barrelPressure: '[[6553, 0 kPa absolute], [58981, 1200 kPa absolute]], uncertainty: ± 0.5 % of span',
};
const STRAIN = '[[0, 0 V], [65535, 5 V]], measures: voltage, uncertainty: ± 2 mV';

/** @param path  of the board's port */
export function floodRig(path: string, channels: number = CHANNELS.length): string {
  const names = Array.from({ length: channels }, (_, i) => CHANNELS[i] ?? `strain${i - 1}`);
  return `${launcherText('Heron at full speed')}boards:
  gate-board: { path: ${JSON.stringify(path)}, baudRate: ${BAUD_RATE}, boardId: ${BOARD_ID}, tickRate: 16 MHz ± 50 ppm rect }
gates:
  - { name: A1, pair: A, board: gate-board, input: 1, position: 1.5 m ± 0.2 mm }
  - { name: A2, pair: A, board: gate-board, input: 2, position: 2.5 m ± 0.2 mm }
channels:
${names.map((name, i) => `  ${name}: { board: gate-board, channel: ${i}, calibration: ${CALIBRATIONS[name] ?? STRAIN} }`).join('\n')}
`;
}
