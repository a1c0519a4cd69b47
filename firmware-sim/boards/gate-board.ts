/**
 * The gate board: light gates and trigger on capture inputs, pressures on converters, one serial line.
 * It speaks the wire of docs/protocol.md. Bytes in, bytes out; time and inputs are handed to it, so a run repeats to the byte.
 *
 * A frame gets its number as it goes out (or is dropped), so numbers on the line rise, and a gap is always a loss.
 * Order on the line: answers to PING, then identity, edges, edges asked for again, heartbeat, what else is asked for
 * again, samples last. Only at a start identity comes before all.
 */
import { type BoardMessage, decodeHostLine, encodeMessage, type HostMessage, WIRE } from '../../protocol/index.ts';
import type { InputEdge } from '../world/gates.ts';
import { randomStream } from '../world/random.ts';
import { type BoardClock, createBoardClock, drawClockError } from './board-clock.ts';
import { createHeldFrames, type HeldFrames } from './held-frames.ts';
import { createLineReader, type LineReader } from './line-reader.ts';
import { createResendQueue, type ResendAnswer } from './resend-queue.ts';
import { BURST, createSlowSampler, type ReadCounts, readBurst, type SamplePlan, SLOW_PLANS, type SlowSampler } from './samplers.ts';

/** Bytes and the range time at which the last of them has left, or arrives. */
export interface TimedBytes {
  readonly timeS: number;
  readonly bytes: Uint8Array;
}

export interface BoardInputs {
  /** Hands over, once, the edges up to this time, in time order. */
  takeEdges(untilS: number): readonly InputEdge[];
  readonly sampleCounts: ReadCounts;
}

/** Told of each edge's fate on the board, for whoever must know what was to be recorded. Changes nothing. */
export interface EdgeWatch {
  /** @param kept  false: the edge memory was full, and it is counted as lost */
  captured(bootId: number, edge: InputEdge, kept: boolean): void;
  /** It has its number now; its line, as often as it is sent, is this one. */
  numbered(bootId: number, seq: number, line: string): void;
  /** Acknowledged: every edge up to this number may be forgotten. */
  released(bootId: number, upToSeq: number): void;
  /** All that it still held is gone. */
  restarted(bootId: number): void;
}

export interface GateBoardOptions {
  readonly seed: number;
  readonly boardId: string;
  readonly baudRate: number;
  readonly tickRateHz: number;
  readonly tickRateErrorPpmMax: number;
  readonly inputs: BoardInputs;
  /** Left out: pressures at 1 kHz, air at 10 Hz. */
  readonly samplePlans?: readonly SamplePlan[];
  readonly edgeWatch?: EdgeWatch;
}

export interface GateBoard {
  /** Host bytes that have arrived by this time; earlier moments are caught up on first. */
  receive(bytes: Uint8Array, timeS: number): void;
  /** @returns frames that have left the board by this time, one chunk each */
  advanceTo(timeS: number): readonly TimedBytes[];
  /** As after a watchdog: everything held is gone, a new bootId, numbers and ticks from 0. */
  restart(timeS: number): void;
}

/** Bounds of the board's memory. */
export const BOARD = {
  /** Edges waiting, sent and not acknowledged. A newer one is not kept: edgesLost. */
  edgesMax: 64,
  /** Other frames kept for being asked for again; the oldest that no waiting RESEND has asked for makes room. */
  othersMax: 1024,
  /** Sample blocks waiting for the line. The oldest is numbered, held and not sent. */
  samplesWaitingMax: 64,
  /** PINGs, and asked-for ranges, waiting; newer ones are ignored (the host asks again). */
  answersWaitingMax: 8,
  beatS: 1,
} as const;

/** The least that a board may read: a carriage return does not count. */
const HOST_LINE_BYTES_MAX = WIRE.hostLineBytesMax + 1;

interface Boot {
  readonly bootId: number;
  readonly clock: BoardClock;
  readonly held: HeldFrames;
  readonly reader: LineReader;
  readonly samplers: readonly SlowSampler[];
  readonly resetCause: 'power' | 'watchdog';
}

interface WaitingPing {
  readonly token: string;
  readonly ticksReceived: number;
}

export function createGateBoard(options: GateBoardOptions): GateBoard {
  const { inputs, samplePlans = SLOW_PLANS, edgeWatch } = options;
  const random = randomStream(options.seed, 'gate-board');
  const clockError = drawClockError(random, options.tickRateErrorPpmMax);
  const bytesPerS = options.baudRate / 10;

  let nowS = 0;
  let boot: Boot = startBoot(0, random.integer(2 ** 40), 'power');
  let seq = 0;
  let edgesCaptured = 0;
  let edgesLost = 0;
  let hostLinesBad = 0;
  let inputsActive = 0;
  let nextBeatS: number = BOARD.beatS;
  let helloWaiting = true;
  let beatWaiting = false;
  let burstAtS = Number.POSITIVE_INFINITY;
  let burstTicks = 0;
  let lineFreeAtS = 0;
  let pings: readonly WaitingPing[] = [];
  let edgesWaiting: readonly BoardMessage[] = [];
  let samplesWaiting: readonly BoardMessage[] = [];
  let resends = createResendQueue(BOARD.answersWaitingMax);
  let edgesSeen: readonly InputEdge[] = [];
  let leaving: readonly TimedBytes[] = [];

  function startBoot(timeS: number, startTicks: number, resetCause: Boot['resetCause']): Boot {
    const clock = createBoardClock({ ...clockError, tickRateHz: options.tickRateHz, startS: timeS, startTicks });
    return {
      bootId: random.integer(2 ** 32),
      clock,
      held: createHeldFrames(BOARD.othersMax),
      reader: createLineReader(HOST_LINE_BYTES_MAX),
      samplers: samplePlans.map((plan) => createSlowSampler(plan, clock, startTicks, inputs.sampleCounts)),
      resetCause,
    };
  }

  /** Gives the frame its number, keeps it, and returns its line. */
  const number = (message: BoardMessage): string => {
    const line = encodeMessage(message, seq);
    if (message.kind === 'EDGE') {
      boot.held.holdEdge(seq, line);
      edgeWatch?.numbered(boot.bootId, seq, line);
    }
    // A GONE is not kept: asked for, it is answered by another, and it must not cost the room of a frame that says more.
    else if (message.kind !== 'GONE') boot.held.holdOther(seq, line, resends.isWanted);
    seq += 1;
    return line;
  };

  const queueSamples = (block: BoardMessage): void => {
    samplesWaiting = [...samplesWaiting, block];
    while (samplesWaiting.length > BOARD.samplesWaitingMax) {
      number(samplesWaiting[0] as BoardMessage);
      samplesWaiting = samplesWaiting.slice(1);
    }
  };

  const captureEdge = (edge: InputEdge): void => {
    const bit = 1 << edge.input;
    inputsActive = edge.active ? inputsActive | bit : inputsActive & ~bit;
    edgesCaptured += 1;
    const ticks = boot.clock.ticksAt(edge.timeS);
    if (edge.input === 0 && edge.active && burstAtS === Number.POSITIVE_INFINITY) {
      burstTicks = ticks;
      burstAtS = boot.clock.timeOf(ticks + BURST.afterTicks + BURST.blockSamples * BURST.periodTicks);
    }
    const isKept = edgesWaiting.length + boot.held.edgeCount < BOARD.edgesMax;
    edgeWatch?.captured(boot.bootId, edge, isKept);
    if (!isKept) edgesLost += 1;
    else edgesWaiting = [...edgesWaiting, { kind: 'EDGE', input: edge.input, active: edge.active, ticks, hardwareTimed: true }];
  };

  /** The next line to go out at this moment, or undefined where nothing waits. */
  const nextLine = (): string | undefined => {
    const isStart = seq === 0;
    const [ping] = pings;
    if (ping && !isStart) {
      pings = pings.slice(1);
      return number({ kind: 'STAMP', token: ping.token, ticksReceived: ping.ticksReceived, ticksSent: boot.clock.ticksAt(nowS) });
    }
    if (helloWaiting) {
      helloWaiting = false;
      return number(hello());
    }
    const [edge] = edgesWaiting;
    if (edge) {
      edgesWaiting = edgesWaiting.slice(1);
      return number(edge);
    }
    const edgeAgain = lineOf(resends.nextEdge(boot.held));
    if (edgeAgain !== undefined) return edgeAgain;
    if (beatWaiting) {
      beatWaiting = false;
      return number(beat());
    }
    const otherAgain = lineOf(resends.nextOther(boot.held));
    if (otherAgain !== undefined) return otherAgain;
    const [block] = samplesWaiting;
    if (!block) return undefined;
    samplesWaiting = samplesWaiting.slice(1);
    return number(block);
  };

  const hello = (): BoardMessage => ({
    kind: 'HELLO',
    protocolVersion: WIRE.protocolVersion,
    boardId: options.boardId,
    bootId: boot.bootId,
    resetCause: boot.resetCause,
    tickRateHz: options.tickRateHz,
    ticks: boot.clock.ticksAt(nowS),
    gateInputCount: WIRE.gateInputsMax,
    channelCount: samplePlans.length,
    oldestHeldSeq: boot.held.oldest() ?? seq,
  });

  const beat = (): BoardMessage => ({
    kind: 'BEAT',
    ticks: boot.clock.ticksAt(nowS),
    edgesCaptured,
    edgesLost,
    edgesHeld: edgesWaiting.length + boot.held.edgeCount,
    inputsActive,
    hostLinesBad,
  });

  const lineOf = (answer: ResendAnswer | undefined): string | undefined =>
    typeof answer === 'object' ? number({ kind: 'GONE', ...answer }) : answer;

  const act = (message: HostMessage, timeS: number): boolean => {
    switch (message.kind) {
      case 'WHO':
        helloWaiting = true;
        return true;
      case 'PING':
        if (pings.length < BOARD.answersWaitingMax) {
          pings = [...pings, { token: message.token, ticksReceived: boot.clock.ticksAt(timeS) }];
        }
        return true;
      case 'ACK':
        if (message.bootId === boot.bootId) {
          const upToSeq = Math.min(message.upToSeq, seq - 1);
          boot.held.acknowledge(upToSeq);
          edgeWatch?.released(boot.bootId, upToSeq);
        }
        return true;
      case 'RESEND': {
        if (message.bootId !== boot.bootId) return true;
        if (message.toSeq < message.fromSeq || message.toSeq - message.fromSeq >= WIRE.resendFramesMax) return false;
        resends.add({ fromSeq: message.fromSeq, toSeq: Math.min(message.toSeq, seq - 1) }, boot.held);
        return true;
      }
    }
  };

  /** Runs the board up to a time: whatever comes first, in order. */
  const run = (untilS: number): void => {
    edgesSeen = [...edgesSeen, ...inputs.takeEdges(untilS)];
    for (;;) {
      const edge = edgesSeen[0];
      const edgeAtS = edge ? Math.max(edge.timeS, nowS) : Number.POSITIVE_INFINITY;
      const sampler = boot.samplers.reduce((a, b) => (b.readyAtS() < a.readyAtS() ? b : a));
      const sendAtS = anythingWaits() ? Math.max(lineFreeAtS, nowS) : Number.POSITIVE_INFINITY;
      const nextS = Math.min(edgeAtS, sampler.readyAtS(), nextBeatS, burstAtS, sendAtS);
      if (nextS > untilS) break;
      nowS = Math.max(nowS, nextS);
      if (edge && edgeAtS === nextS) {
        edgesSeen = edgesSeen.slice(1);
        captureEdge(edge);
      } else if (sampler.readyAtS() === nextS) {
        queueSamples(sampler.take());
      } else if (nextBeatS === nextS) {
        beatWaiting = true;
        nextBeatS += BOARD.beatS;
      } else if (burstAtS === nextS) {
        burstAtS = Number.POSITIVE_INFINITY;
        for (const block of readBurst(burstTicks, boot.clock, inputs.sampleCounts)) queueSamples(block);
      } else {
        send();
      }
    }
    nowS = Math.max(nowS, untilS);
  };

  const anythingWaits = (): boolean =>
    pings.length > 0 || helloWaiting || edgesWaiting.length > 0 || beatWaiting || resends.waiting || samplesWaiting.length > 0;

  const send = (): void => {
    // Before the first frame of a start a line feed ends whatever was half sent before it.
    const lead = seq === 0 ? '\n' : '';
    const line = nextLine();
    if (line === undefined) return;
    const bytes = Buffer.from(`${lead}${line}\n`, 'latin1');
    lineFreeAtS = nowS + bytes.length / bytesPerS;
    leaving = [...leaving, { timeS: lineFreeAtS, bytes }];
  };

  return {
    receive: (bytes, timeS) => {
      run(timeS);
      // A line that was on its way during a restart is read by the board's new life, never before it.
      const atS = Math.max(timeS, nowS);
      for (const line of boot.reader.push(bytes)) {
        // An empty line is skipped, with or without a carriage return.
        if (line === '' || line === '\r') continue;
        const decoded = line === undefined ? undefined : decodeHostLine(line);
        if (!decoded?.ok || !act(decoded.value, atS)) hostLinesBad += 1;
      }
    },
    advanceTo: (timeS) => {
      run(timeS);
      const gone = leaving.filter((chunk) => chunk.timeS <= timeS);
      leaving = leaving.filter((chunk) => chunk.timeS > timeS);
      return gone;
    },
    restart: (timeS) => {
      run(timeS);
      // A frame half on the line is cut off there: its first bytes have left.
      leaving = leaving.map((chunk) => {
        const unsent = Math.ceil((chunk.timeS - timeS) * bytesPerS);
        return unsent <= 0 ? chunk : { timeS, bytes: chunk.bytes.slice(0, Math.max(chunk.bytes.length - unsent, 0)) };
      });
      edgeWatch?.restarted(boot.bootId);
      boot = startBoot(timeS, 0, 'watchdog');
      [seq, edgesCaptured, edgesLost, hostLinesBad] = [0, 0, 0, 0];
      [pings, edgesWaiting, samplesWaiting] = [[], [], []];
      resends = createResendQueue(BOARD.answersWaitingMax);
      [helloWaiting, beatWaiting] = [true, false];
      [burstAtS, nextBeatS, lineFreeAtS] = [Number.POSITIVE_INFINITY, timeS + BOARD.beatS, timeS];
    },
  };
}
