import { expect, test } from 'vitest';
import { hostNs } from '../../host/metrology/index.ts';
import { INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import { boardOf } from '../../host/pipeline/time.ts';
import { type BoardMessage, encodeMessage, type PosternRecord } from '../../protocol/index.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const TICK_RATE_HZ = 16e6;
/** The session before began so long before this one; both ask their first questions soon after their start. */
const EARLIER_S = 1.25;
const BOARD_UP_S = 100;

function lineAt(atMs: number, message: BoardMessage, seq: number): PosternRecord {
  return { kind: 'line', source: 'gate-board', atNs: Math.round(atMs * 1e6), bytes: Buffer.from(encodeMessage(message, seq), 'latin1') };
}

/** The board's answer to a PING sent at this time of a session that began `earlierS` before this one. */
function stamp(sentMs: number, earlierS = 0): BoardMessage {
  const ticks = Math.round((BOARD_UP_S - earlierS + sentMs / 1e3 + 1e-3) * TICK_RATE_HZ);
  const token = BigInt(sentMs * 1e6)
    .toString(16)
    .toUpperCase()
    .padStart(16, '0');
  return { kind: 'STAMP', token, ticksReceived: ticks, ticksSent: ticks };
}

function hello(atMs: number): BoardMessage {
  const ticks = Math.round((BOARD_UP_S + atMs / 1e3) * TICK_RATE_HZ);
  const about = { protocolVersion: 1, gateInputCount: 8, channelCount: 2, oldestHeldSeq: 0, tickRateHz: TICK_RATE_HZ };
  return { kind: 'HELLO', boardId: 'CS-GB-01', bootId: 7, resetCause: 'power', ticks, ...about };
}

test('answers to the host before, fetched from the board, do not set the clock', () => {
  const rig = { sessionId: 'second', softwareVersion: 'test', protocolVersion: 1, fileName: 'heron.yaml', text: HERON_YAML };
  const records: readonly PosternRecord[] = [
    { kind: 'clock', source: 'host', atNs: 0, value: { utcUs: 1.77e15 } },
    { kind: 'rig', source: 'host', atNs: 0, value: rig },
    { kind: 'link', source: 'gate-board', atNs: 0, value: { change: 'opened', path: 'memory', detail: '' } },
    lineAt(3, hello(2), 4),
    // As luck has it, fetched at the very time of its session at which they were asked for in the one before.
    ...[0, 1, 2, 3].map((seq) => lineAt(300 + seq, stamp(299 + seq, EARLIER_S), seq)),
    ...[5, 6, 7, 8].map((seq) => lineAt(50 * seq + 62, stamp(50 * seq + 60), seq)),
  ];
  const state = records.reduce<PipelineState>((before, record) => step(before, record)[0], INITIAL_STATE);
  const clock = boardOf(state, 'gate-board')?.clock;
  expect(clock).toBeDefined();
  // Where this session's zero lies on the board's clock.
  expect(Math.abs(clock ? hostNs(clock, BOARD_UP_S * TICK_RATE_HZ) : Number.NaN)).toBeLessThan(2e6);
});
