/**
 * Everything a serial line can do wrong, through a real pseudo-terminal and the real serial binding into the pipeline:
 * each is counted under the board's name and survived, and memory stays bounded.
 */
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openPtyWire } from '../../firmware-sim/wires/pty.ts';
import type { Wire } from '../../firmware-sim/wires/wire.ts';
import { MonotonicClock } from '../../host/cli/live/session-clock.ts';
import { GateBoardLink } from '../../host/links/index.ts';
import { INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import { type BoardMessage, encodeMessage, type PipelineEvent, type PosternRecord, type WireCounters } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

let scratch: ReturnType<typeof scratchFolder>;
let wire: Wire;
let link: GateBoardLink;
let host: Host;

/** Link and pipeline as the session wires them, without journal. */
class Host {
  state: PipelineState = INITIAL_STATE;
  counters: WireCounters | undefined;
  #waiting: { readonly holds: (counters: WireCounters) => boolean; readonly resolve: () => void }[] = [];

  take(record: PosternRecord): void {
    const [state, events] = step(this.state, record);
    this.state = state;
    for (const event of events) this.#hear(event);
  }

  /** Waits for the counters, which the pipeline tells at most ten times a second. */
  async counted(holds: (counters: WireCounters) => boolean): Promise<void> {
    if (this.counters && holds(this.counters)) return;
    await new Promise<void>((resolve) => {
      this.#waiting.push({ holds, resolve });
    });
  }

  #hear(event: PipelineEvent): void {
    if (event.type !== 'wire') return;
    const { counters } = event;
    this.counters = counters;
    const due = this.#waiting.filter((waiting) => waiting.holds(counters));
    this.#waiting = this.#waiting.filter((waiting) => !due.includes(waiting));
    for (const waiting of due) waiting.resolve();
  }
}

const HELLO: BoardMessage = {
  kind: 'HELLO',
  protocolVersion: 1,
  boardId: 'CS-GB-01',
  bootId: 7,
  resetCause: 'power',
  tickRateHz: 16e6,
  ticks: 0,
  gateInputCount: 8,
  channelCount: 5,
  oldestHeldSeq: 0,
};
const beat = (ticks: number): BoardMessage => ({
  kind: 'BEAT',
  ticks,
  edgesCaptured: 0,
  edgesLost: 0,
  edgesHeld: 0,
  inputsActive: 0,
  hostLinesBad: 0,
});

const send = (text: string | Uint8Array): void => wire.write(typeof text === 'string' ? Buffer.from(`${text}\n`, 'latin1') : text);

beforeEach(async () => {
  scratch = scratchFolder();
  const path = join(scratch.path, 'gate-board');
  wire = await openPtyWire(path);
  host = new Host();
  const value = { sessionId: 's', softwareVersion: 't', protocolVersion: 1, fileName: 'heron.yaml', text: HERON_YAML };
  host.take({ kind: 'rig', atNs: 0, source: 'host', value });
  const clock = new MonotonicClock();
  const opened = new Promise<void>((resolve) => {
    link = new GateBoardLink(
      { name: 'gate-board', path, baudRate: 500_000 },
      {
        clock,
        onRecord: (record) => {
          host.take(record);
          if (record.kind === 'link' && record.value.change === 'opened') resolve();
        },
      },
    );
  });
  // Time passes for the pipeline by records; the session's clock does this.
  const ticking = setInterval(() => host.take({ kind: 'clock', atNs: clock.nowNs(), source: 'host', value: { utcUs: 1 } }), 50);
  stopTicking = () => clearInterval(ticking);
  link.start();
  await opened;
  send(encodeMessage(HELLO, 0));
  send(encodeMessage(beat(1), 1));
  await host.counted((c) => c.linesReceived >= 2);
});
let stopTicking = (): void => undefined;
afterEach(async () => {
  stopTicking();
  await link.close();
  await wire.close();
  scratch.remove();
});

test('each kind of bad line is counted under its name, and good lines around it are heard', { timeout: 60_000 }, async () => {
  const good = encodeMessage(beat(2), 2);
  const flipped = `${good.slice(0, 20)}${String.fromCharCode(good.charCodeAt(20) ^ 1)}${good.slice(21)}`;
  send(flipped);
  send(good.slice(0, 25));
  send(Uint8Array.from({ length: 256 }, (_, i) => i));
  send('\n');
  send('NONSENSE 00000002*9AB5');
  send(`${'A'.repeat(700)}`);
  send(encodeMessage(beat(2), 1));
  send(encodeMessage(beat(5), 5));
  await host.counted((c) => c.framesRepeated >= 1 && c.framesMissed >= 3 && (c.faults['line-too-long'] ?? 0) >= 1);
  const { faults, framesMissed, framesAwaited } = host.counters as WireCounters;
  expect(faults['crc-mismatch']).toBeGreaterThanOrEqual(1);
  expect(faults['no-crc']).toBeGreaterThanOrEqual(1);
  expect(faults['not-ascii']).toBeGreaterThanOrEqual(1);
  expect(framesMissed).toBe(3);
  expect(framesAwaited).toBe(3);
  for (const [seq, ticks] of [
    [2, 2],
    [3, 3],
    [4, 4],
  ] as const)
    send(encodeMessage(beat(ticks), seq));
  await host.counted((c) => c.framesAwaited === 0);
  expect(host.counters?.framesRecovered).toBe(3);
});

test('an unknown kind with a sound CRC is counted as such', async () => {
  const { encodeFrame } = await import('../../protocol/index.ts');
  send(encodeFrame({ kind: 'XYZZY', seq: 2, fields: ['1'] }));
  await host.counted((c) => (c.faults['unknown-kind'] ?? 0) === 1);
});

test('ten megabytes without a line feed: cut, counted, bounded, and the next line is heard', { timeout: 120_000 }, async () => {
  const before = process.memoryUsage().rss;
  let highest = 0;
  const piece = new Uint8Array(64 * 1024).fill(0x41);
  for (let i = 0; i < 160; i++) {
    send(piece);
    // The line takes what the host reads; a real one would hold the board back.
    const sent = ((i + 1) * piece.length) / 1024;
    await host.counted((c) => (c.faults['line-too-long'] ?? 0) > sent - 256);
    highest = Math.max(highest, process.memoryUsage().rss);
  }
  wire.write(Buffer.from('\n', 'latin1'));
  send(encodeMessage(beat(2), 2));
  const heard = host.counters?.linesReceived ?? 0;
  await host.counted((c) => c.linesReceived > heard && c.framesMissed === 0 && (c.faults['line-too-long'] ?? 0) >= 10_000);
  expect(host.state.boards['gate-board']?.sequence.nextSeq).toBe(3);
  expect(highest - before).toBeLessThan(150e6);
});
