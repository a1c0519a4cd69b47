/**
 * The simulated range, all its boards, and the pipeline on one virtual clock: no port, no timer, as fast as the machine
 * goes. What the links do live (split lines, ask, ping, send requests) is done here in the plainest way.
 */
import type { FaultName } from '../../firmware-sim/faults.ts';
import { BOARDS, type BoardName, createRange, type MakeGateBoard, type Range } from '../../firmware-sim/range.ts';
import { rigFileText } from '../../firmware-sim/rig-file.ts';
import { LINE_FAULTS, lineFaults } from '../../firmware-sim/wires/faults.ts';
import { createMemoryLine, type MemoryLine } from '../../firmware-sim/wires/memory.ts';
import type { Pace, SetPoints } from '../../firmware-sim/world/procedure.ts';
import type { ShotTruth } from '../../firmware-sim/world/shot.ts';
import { INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import {
  encodeMessage,
  type HostMessage,
  type OperatorAct,
  type PipelineEvent,
  type PosternRecord,
  type Shot,
} from '../../protocol/index.ts';
import { firmataLink, lineLink, type VirtualLink } from './virtual-links.ts';

/** 2026-03-02T09:00:00Z, when the invented session was opened. */
export const ORIGIN_UTC_MS = Date.UTC(2026, 2, 2, 9);
/** As the demonstration has it at its fast pace. */
export const HERON_YAML = rigFileText({ pace: 'fast', faults: [], todayMs: ORIGIN_UTC_MS });

export interface VirtualRun {
  readonly records: readonly PosternRecord[];
  readonly events: readonly PipelineEvent[];
  /** The closed ones. */
  readonly shots: readonly Shot[];
  readonly truth: readonly ShotTruth[];
}

const STEP_S = 0.001;
/** Of each kind asked for, for one frame. */
const LINE_FAULT_PROBABILITY = 0.03;
const PING_EVERY_S = 0.25;
const CLOCK_EVERY_S = 0.5;
const SHOT_S_MAX: Readonly<Record<Pace, number>> = { fast: 5, real: 300 };

export interface VirtualOptions {
  readonly seed: number;
  readonly shots: number;
  readonly faults?: readonly FaultName[];
  /** From gentle to hard where left out. */
  readonly setPoints?: SetPoints;
  /** Balls dropped through pair A in the place of shots. */
  readonly drop?: boolean;
  /** Takes the gate board's wire out and puts it back, range seconds. */
  readonly unplugged?: { readonly fromS: number; readonly toS: number };
  readonly rigText?: string;
  /** Another gate board than the simulated one; its rig text belongs with it. */
  readonly makeGateBoard?: MakeGateBoard;
  readonly sessionId?: string;
  readonly pace?: Pace;
  readonly untilS?: number;
  /** What persons do meanwhile, by range seconds, in their order. */
  readonly acts?: readonly { readonly atS: number; readonly act: OperatorAct }[];
  /** Another taker of the records than the pipeline alone; the run then keeps neither records, events nor shots, so that it may be hours long. */
  readonly through?: (ports: TakerPorts) => Taker;
}

export interface TakerPorts {
  readonly send: (source: string, message: HostMessage) => void;
  readonly onEvents: (events: readonly PipelineEvent[]) => void;
}

export interface Taker {
  take(record: PosternRecord): void;
}

export function runVirtualRange(options: VirtualOptions): VirtualRun {
  const passing = passVirtualRange(options);
  for (;;) {
    const next = passing.next();
    if (next.done) return next.value;
  }
}

const PAUSES_A_SECOND = 10;

/** The same, with a pause each tenth of a range second, whose end it says, s: for takers that write to a disk meanwhile. */
export function* passVirtualRange(options: VirtualOptions): Generator<number, VirtualRun> {
  const { seed, shots, faults = [], setPoints = 'spread', pace = 'fast', unplugged } = options;
  const { makeGateBoard } = options;
  const range = createRange({
    seed,
    pace,
    shots,
    faults,
    setPoints,
    drop: options.drop === true,
    ...(makeGateBoard ? { makeGateBoard } : {}),
  });
  const lines = linesOf(range.ends, seed, faults);
  const links: Readonly<Record<BoardName, VirtualLink>> = {
    'gate-board': lineLink('gate-board', /\n/),
    'weather-board': firmataLink('weather-board'),
    'fill-gauge': lineLink('fill-gauge', /[\r\n]/),
    'wind-meter': lineLink('wind-meter', /[\r\n]/),
  };
  const running = new Set<BoardName>();
  const records: PosternRecord[] = [];
  const events: PipelineEvent[] = [];
  const closedShots: Shot[] = [];
  let state = INITIAL_STATE;
  let hostSeq = 0;
  let nowS = 0;
  let closed = 0;
  const atNs = (): number => Math.round(nowS * 1e9);
  const send = (message: HostMessage): void =>
    lines['gate-board'].send(Buffer.from(`${encodeMessage(message, hostSeq++)}\n`, 'latin1'), nowS);
  const onEvents = (out: readonly PipelineEvent[]): void => {
    // Weighed later, a shot closes once more without having been fired.
    closed += out.filter((event) => event.type === 'shot' && event.phase === 'closed' && !event.shot.weighed).length;
  };
  const pipeline: Taker = {
    take(record) {
      records.push(record);
      const [next, out] = step(state, record);
      state = next;
      events.push(...out);
      for (const event of out) {
        if (event.type === 'request') send(event.message);
        if (event.type === 'shot' && event.phase === 'closed') closedShots.push(event.shot);
      }
      onEvents(out);
    },
  };
  const taker = options.through?.({ send: (_, message) => send(message), onEvents }) ?? pipeline;
  const take = (record: PosternRecord): void => taker.take(record);
  const acts = [...(options.acts ?? [])];
  const link = (source: BoardName, change: 'opened' | 'running' | 'lost'): void =>
    take({ kind: 'link', atNs: atNs(), source, value: { change, path: 'memory', detail: '' } });
  const hear = (): void => {
    const heard = BOARDS.flatMap((board) => lines[board].advanceTo(nowS).map((chunk) => ({ board, chunk })));
    for (const { board, chunk } of heard.sort((a, b) => a.chunk.timeS - b.chunk.timeS)) {
      const found = links[board].take(chunk);
      for (const record of found) take(record);
      if (found.length === 0 || running.has(board)) continue;
      running.add(board);
      link(board, 'running');
    }
  };

  take({ kind: 'clock', atNs: 0, source: 'host', value: { utcUs: ORIGIN_UTC_MS * 1000 } });
  const text = options.rigText ?? HERON_YAML;
  const value = { sessionId: options.sessionId ?? 'virtual', softwareVersion: 'test', protocolVersion: 1, fileName: 'heron.yaml', text };
  take({ kind: 'rig', atNs: 0, source: 'host', value });
  for (const board of BOARDS) link(board, 'opened');
  send({ kind: 'WHO' });
  let nextPingS = 0;
  let nextClockS = CLOCK_EVERY_S;
  let plugged = true;
  const untilS = options.untilS ?? shots * SHOT_S_MAX[pace] + 20;
  for (let tick = 1; nowS < untilS && closed < shots; tick++) {
    nowS = tick * STEP_S;
    const shouldBePlugged = !unplugged || nowS < unplugged.fromS || nowS >= unplugged.toS;
    if (shouldBePlugged !== plugged) {
      plugged = shouldBePlugged;
      lines['gate-board'].setPlugged(plugged, nowS);
      links['gate-board'].forget();
      running.delete('gate-board');
      link('gate-board', plugged ? 'opened' : 'lost');
      if (plugged) send({ kind: 'WHO' });
    }
    for (const board of BOARDS) {
      const bytes = links[board].due(nowS);
      if (bytes) lines[board].send(bytes, nowS);
    }
    hear();
    for (let next = acts[0]; next !== undefined && next.atS <= nowS; next = acts[0]) {
      take({ kind: 'operator', atNs: atNs(), source: 'operator', value: next.act });
      acts.shift();
    }
    if (plugged && nowS >= nextPingS) {
      send({ kind: 'PING', token: atNs().toString(16).toUpperCase().padStart(16, '0') });
      nextPingS = nowS + (nowS < 0.5 ? 0.05 : PING_EVERY_S);
    }
    if (nowS >= nextClockS) {
      take({ kind: 'clock', atNs: atNs(), source: 'host', value: { utcUs: ORIGIN_UTC_MS * 1000 + Math.round(nowS * 1e6) } });
      nextClockS += CLOCK_EVERY_S;
    }
    if (tick % (1 / (PAUSES_A_SECOND * STEP_S)) === 0) yield nowS;
  }
  return { records, events, shots: closedShots, truth: range.truth };
}

/** Faults of the line are on the gate board's, as in the range's own process. */
function linesOf(ends: Range['ends'], seed: number, faults: readonly FaultName[]): Readonly<Record<BoardName, MemoryLine>> {
  const wireFaults = LINE_FAULTS.filter((name) => faults.includes(name));
  const plain = (board: BoardName): MemoryLine => createMemoryLine({ seed, name: `line/${board}`, end: ends[board] });
  return {
    'gate-board': createMemoryLine({ seed, end: ends['gate-board'], fault: lineFaults(wireFaults, LINE_FAULT_PROBABILITY) }),
    'weather-board': plain('weather-board'),
    'fill-gauge': plain('fill-gauge'),
    'wind-meter': plain('wind-meter'),
  };
}
