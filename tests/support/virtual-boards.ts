/**
 * Boards with clocks of their own on lines of their own, in virtual time, into the pipeline: what the host makes of
 * their ticks can be held against the moments that the ticks really stand for.
 */
import { type Random, randomStream } from '../../firmware-sim/world/random.ts';
import { INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import { type BoardMessage, encodeMessage, type PipelineEvent, type PosternRecord } from '../../protocol/index.ts';
import { HERON_YAML } from './virtual-range.ts';

export const TICK_RATE_HZ = 16e6;
export const BOARDS = ['gate-board', 'far-board'] as const;
export type BoardName = (typeof BOARDS)[number];

/** Heron with the far pair of gates on a second board. */
export const TWO_BOARDS_YAML = HERON_YAML.replace(
  /^boards:\n/m,
  'boards:\n  far-board: { path: ./wires/far-board, baudRate: 500000, boardId: CS-GB-02, tickRate: 16 MHz ± 50 ppm rect }\n',
).replaceAll(/(pair: B, board: )gate-board/g, '$1far-board');

export interface ClockError {
  readonly startTicks: number;
  /** Parts per million at session time 0, positive = fast. */
  readonly errorPpm: number;
  /** Parts per million a second. */
  readonly driftPpmPerS: number;
}

export interface LineDelay {
  /** Each way. */
  readonly leastS: number;
  /** Mean of what is added to it, exponential. */
  readonly jitterS: number;
  /** Arrivals at the host wait for the next of these; 0: none. */
  readonly frameS: number;
  /** Share of exchanges that meet a stall of up to 100 ms. */
  readonly stalls: number;
}

export function ticksAt(clock: ClockError, timeS: number): number {
  return Math.floor(clock.startTicks + TICK_RATE_HZ * timeS * (1 + clock.errorPpm * 1e-6 + (clock.driftPpmPerS * 1e-6 * timeS) / 2));
}

export class VirtualBoards {
  state: PipelineState = INITIAL_STATE;
  readonly events: PipelineEvent[] = [];
  readonly #clocks: Readonly<Record<BoardName, ClockError>>;
  readonly #delays: Readonly<Record<BoardName, LineDelay>>;
  readonly #random: Random;
  readonly #seq: Record<BoardName, number> = { 'gate-board': 0, 'far-board': 0 };
  #newestNs = 0;

  constructor(seed: number, clocks: Readonly<Record<BoardName, ClockError>>, delays: Readonly<Record<BoardName, LineDelay>>) {
    this.#clocks = clocks;
    this.#delays = delays;
    this.#random = randomStream(seed, 'virtual-boards');
    const value = { sessionId: 'axis', softwareVersion: 'test', protocolVersion: 1, fileName: 'heron.yaml', text: TWO_BOARDS_YAML };
    this.take({ kind: 'rig', atNs: 0, source: 'host', value });
  }

  take(record: PosternRecord): void {
    // Records enter the host one after the other.
    this.#newestNs = Math.max(this.#newestNs, record.atNs);
    const [state, events] = step(this.state, { ...record, atNs: this.#newestNs });
    this.state = state;
    this.events.push(...events);
  }

  anchor(timeS: number, utcMs: number): void {
    this.take({ kind: 'clock', atNs: Math.round(timeS * 1e9), source: 'host', value: { utcUs: Math.round(utcMs * 1000) } });
  }

  opened(board: BoardName, timeS: number): void {
    const value = { change: 'opened', path: 'memory', detail: '' } as const;
    this.take({ kind: 'link', atNs: Math.round(timeS * 1e9), source: board, value });
    const limits = { gateInputCount: 8, channelCount: 5, oldestHeldSeq: 0, tickRateHz: TICK_RATE_HZ, protocolVersion: 1 };
    const boardId = board === 'gate-board' ? 'CS-GB-01' : 'CS-GB-02';
    this.say(board, { kind: 'HELLO', boardId, bootId: 7, resetCause: 'power', ticks: this.ticks(board, timeS), ...limits }, timeS + 1e-4);
  }

  ticks(board: BoardName, timeS: number): number {
    return ticksAt(this.#clocks[board], timeS);
  }

  /** One frame of the board's, arriving then. */
  say(board: BoardName, message: BoardMessage, arrivesS: number): void {
    const bytes = Buffer.from(encodeMessage(message, this.#seq[board]++), 'latin1');
    this.take({ kind: 'line', atNs: Math.round(arrivesS * 1e9), source: board, bytes });
  }

  /** One PING and its STAMP. @returns when it is over */
  exchange(board: BoardName, sentS: number): number {
    const delay = this.#delays[board];
    const stall = this.#random.uniform() < delay.stalls ? 0.1 * this.#random.uniform() : 0;
    const wait = (): number => delay.leastS - delay.jitterS * Math.log(1 - this.#random.uniform());
    const receivedS = sentS + wait();
    const repliedS = receivedS + 20e-6;
    const at = repliedS + wait() + stall;
    const arrivesS = delay.frameS > 0 ? Math.ceil(at / delay.frameS) * delay.frameS : at;
    const token = BigInt(Math.round(sentS * 1e9))
      .toString(16)
      .toUpperCase()
      .padStart(16, '0');
    this.say(
      board,
      { kind: 'STAMP', token, ticksReceived: this.ticks(board, receivedS), ticksSent: this.ticks(board, repliedS) },
      arrivesS,
    );
    return arrivesS;
  }
}
