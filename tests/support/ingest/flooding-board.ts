/**
 * A gate board in a process of its own that answers as one does, and on its parent's word writes so many blocks as fast
 * as the wire takes them: what a real one does with what it holds when its cable is back, without a baud rate.
 */
import { randomInt } from 'node:crypto';
import { openPtyWire } from '../../../firmware-sim/wires/pty.ts';
import { decodeHostLine, encodeMessage, type HostMessage, WIRE } from '../../../protocol/index.ts';
import { BOARD_ID, floodLines, TICK_RATE_HZ } from './lines.ts';

export interface FloodAsked {
  readonly blocks: number;
}
export interface FloodBegun {
  readonly lines: number;
  readonly bytes: number;
  /** Of the machine's monotonic clock, when the first byte was written, ns. */
  readonly beganNs: number;
}

const [path = '', channelsText = '8'] = process.argv.slice(2);
const channels = Number(channelsText);
/** Never so many that the wire drops some. */
const PIECE_BYTES = 32 * 1024;
const QUEUED_BYTES_MAX = 64 * 1024;

const wire = await openPtyWire(path);
const beganNs = process.hrtime.bigint();
const bootId = randomInt(2 ** 32);
let seq = 0;
/** The flood's time runs ahead of the board's clock, and what comes after it goes on from there. */
let aheadTicks = 0;
let isFlooding = false;
let rest = '';

const clockTicks = (): number => Math.round((Number(process.hrtime.bigint() - beganNs) / 1e9) * TICK_RATE_HZ) + 1000;

function answer(message: HostMessage): void {
  const say = (reply: Parameters<typeof encodeMessage>[0]): void => {
    wire.write(Buffer.from(`${encodeMessage(reply, seq)}\n`, 'latin1'));
    seq += 1;
  };
  const ticks = clockTicks();
  if (message.kind === 'PING') say({ kind: 'STAMP', token: message.token, ticksReceived: ticks, ticksSent: ticks });
  if (message.kind === 'RESEND') say({ kind: 'GONE', fromSeq: message.fromSeq, toSeq: message.toSeq });
  if (message.kind === 'WHO') {
    say({
      kind: 'HELLO',
      protocolVersion: WIRE.protocolVersion,
      boardId: BOARD_ID,
      bootId,
      resetCause: 'power',
      tickRateHz: TICK_RATE_HZ,
      ticks,
      gateInputCount: 2,
      channelCount: channels,
      oldestHeldSeq: seq,
    });
  }
}

wire.onData((bytes) => {
  const lines = (rest + Buffer.from(bytes).toString('latin1')).split('\n');
  rest = lines.pop() ?? '';
  // Its numbers are given away already: what is asked meanwhile is asked again.
  if (isFlooding) return;
  for (const line of lines) {
    const decoded = decodeHostLine(line);
    if (decoded.ok) answer(decoded.value);
  }
});

function flood({ blocks }: FloodAsked): void {
  const fromTicks = Math.max(clockTicks(), aheadTicks);
  const { bytes, lines, nextSeq, nextTicks } = floodLines({ blocks, fromSeq: seq, fromTicks, channels });
  seq = nextSeq;
  aheadTicks = nextTicks;
  isFlooding = true;
  let at = 0;
  const began: FloodBegun = { lines, bytes: bytes.length, beganNs: Number(process.hrtime.bigint()) };
  const pump = (): void => {
    while (at < bytes.length && wire.queuedBytes < QUEUED_BYTES_MAX) {
      wire.write(bytes.subarray(at, at + PIECE_BYTES));
      at += PIECE_BYTES;
    }
    if (at < bytes.length) setTimeout(pump, 1);
    else isFlooding = false;
  };
  pump();
  process.send?.(began);
}

process.on('message', (asked: FloodAsked) => flood(asked));
process.on('disconnect', () => {
  void wire.close().then(() => process.exit());
});
process.send?.('ready');
