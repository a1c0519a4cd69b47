/** What one second of a session costs a host behind its ports, by how many channels there are and how fast they come. */

import { mkdirSync } from 'node:fs';
import { encodeMessage, type Message, type PosternRecord, WIRE } from '../../../protocol/index.ts';
import { type Cost, costOf } from '../../bench/costs.ts';
import { launcherText } from '../launcher-text.ts';
import { ORIGIN_UTC_MS } from '../virtual-range.ts';
import { VirtualHost } from './virtual-host.ts';

const TICK_RATE_HZ = 16_000_000;
const TICKS_A_NS = TICK_RATE_HZ / 1e9;
/** Of a board's block, as long as one is not full: pages are told of a sample within it. */
const BLOCK_S = 0.05;
const PAUSE_S = 0.1;
const WARM_UP_S = 3;

export interface BlockLoad {
  readonly channels: number;
  /** Of each. */
  readonly samplesPerS: number;
  readonly seconds: number;
}

/** @returns of one second of the session */
export async function secondCost({ channels, samplesPerS, seconds }: BlockLoad, folder: string): Promise<Cost> {
  mkdirSync(folder, { recursive: true });
  const boards = Math.ceil(channels / WIRE.channelsMax);
  const names = Array.from({ length: boards }, (_, i) => `board${i + 1}`);
  let told = 0;
  const host = await VirtualHost.open(folder, {
    onEvents: (events) => {
      for (const event of events) {
        if (event.type === 'rig-rejected') throw new Error(event.problems.join('\n'));
        if (event.type === 'samples') told += event.valuesSi.length;
      }
    },
  });
  const text = rigText(names, channels);
  host.take({ kind: 'clock', source: 'host', atNs: 0, value: { utcUs: ORIGIN_UTC_MS * 1000 } });
  const value = { sessionId: 'virtual', softwareVersion: 'test', protocolVersion: WIRE.protocolVersion, fileName: 'rig.yaml', text };
  host.take({ kind: 'rig', source: 'host', atNs: 0, value });
  const numbers = new Map(names.map((name) => [name, 0]));
  const say = (source: string, message: Message, atNs: number): PosternRecord => {
    const seq = numbers.get(source) ?? 0;
    numbers.set(source, seq + 1);
    return { kind: 'line', source, atNs, bytes: Buffer.from(encodeMessage(message, seq), 'latin1') };
  };
  for (const source of names) {
    host.take({ kind: 'link', source, atNs: 0, value: { change: 'opened', path: 'memory', detail: '' } });
    host.take(say(source, helloOf(source), 0));
    for (let i = 1; i <= 4; i += 1) host.take(say(source, stampAt(i * 1e7), i * 1e7 + 2000));
  }
  const blockSamples = Math.min(WIRE.blockSamplesMax, Math.max(1, Math.round(samplesPerS * BLOCK_S)));
  const blockNs = (1e9 * blockSamples) / samplesPerS;
  let atNs = 1e8;
  let nextBlockNs = atNs;
  let shown = 0;
  const pass = async (spanS: number): Promise<void> => {
    for (const endNs = atNs + spanS * 1e9; atNs < endNs; ) {
      const pauseNs = atNs + PAUSE_S * 1e9;
      const records: PosternRecord[] = [];
      for (; nextBlockNs < pauseNs; nextBlockNs += blockNs) {
        for (let channel = 0; channel < channels; channel += 1) {
          const counts = Array.from({ length: blockSamples }, (_, i) => countAt(channel, shown + i));
          const ticks = Math.round((nextBlockNs - blockNs) * TICKS_A_NS);
          const periodTicks = Math.round(TICK_RATE_HZ / samplesPerS);
          const block = { kind: 'DATA', stream: 'slow', channel: channel % WIRE.channelsMax, ticks, periodTicks, counts } as const;
          records.push(say(names[Math.floor(channel / WIRE.channelsMax)] as string, block, Math.round(nextBlockNs)));
        }
        shown += blockSamples;
      }
      records.push({
        kind: 'clock',
        source: 'host',
        atNs: Math.round(pauseNs),
        value: { utcUs: ORIGIN_UTC_MS * 1000 + Math.round(pauseNs / 1000) },
      });
      spent.push(
        await costOf(async () => {
          for (const record of records) host.take(record);
          await host.pause(pauseNs);
        }),
      );
      atNs = pauseNs;
    }
  };
  const spent: Cost[] = [];
  await pass(WARM_UP_S);
  spent.length = 0;
  await pass(seconds);
  // What the store has still to write is of these seconds too.
  spent.push(await costOf(() => host.close()));
  const expected = channels * samplesPerS * seconds;
  if (Math.abs(told / (expected + channels * samplesPerS * WARM_UP_S) - 1) > 0.05)
    throw new Error(`${told} samples told, about ${expected} expected`);
  const total = (of: (cost: Cost) => number): number => spent.reduce((sum, cost) => sum + of(cost), 0) / seconds;
  return { wallMs: total(({ wallMs }) => wallMs), coreMs: total(({ coreMs }) => coreMs) };
}

const countAt = (channel: number, i: number): number =>
  Math.round(30_000 + 200 * (channel % WIRE.channelsMax) + 5000 * Math.sin(i / 40_000) + 4 * Math.sin(i * 1.7) + 3 * Math.sin(i * 0.37));

function helloOf(source: string): Message {
  const numbers = { protocolVersion: WIRE.protocolVersion, bootId: 1, tickRateHz: TICK_RATE_HZ, ticks: 0, gateInputCount: 2 };
  return { kind: 'HELLO', boardId: source, resetCause: 'power', channelCount: WIRE.channelsMax, oldestHeldSeq: 0, ...numbers };
}

/** An exchange that took 2 µs. */
const stampAt = (sentNs: number): Message => ({
  kind: 'STAMP',
  token: sentNs.toString(16).toUpperCase().padStart(16, '0'),
  ticksReceived: Math.round((sentNs + 1000) * TICKS_A_NS),
  ticksSent: Math.round((sentNs + 1000) * TICKS_A_NS),
});

function rigText(boards: readonly string[], channels: number): string {
  const channelLine = (i: number): string =>
    `  strain${i}: { board: ${boards[Math.floor(i / WIRE.channelsMax)]}, channel: ${i % WIRE.channelsMax}, measures: voltage, calibration: [[0, 0 V], [65535, 5 V]], uncertainty: ± 2 mV }`;
  return `${launcherText('Heron with many channels')}boards:
${boards.map((name) => `  ${name}: { path: ./wires/${name}, baudRate: 1000000, tickRate: 16 MHz ± 50 ppm rect }`).join('\n')}
gates:
  - { name: A1, pair: A, board: ${boards[0]}, input: 1, position: 1.5 m ± 0.2 mm }
  - { name: A2, pair: A, board: ${boards[0]}, input: 2, position: 2.5 m ± 0.2 mm }
channels:
${Array.from({ length: channels }, (_, i) => channelLine(i)).join('\n')}
`;
}
