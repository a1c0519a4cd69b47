/**
 * A rehearsal: invented shots through a pipeline of their own, before the boards are listened to. Code that has never run
 * is slow the first time, and the first shot of a session would be seen later than all others for it. Nothing of it is
 * recorded, sent or kept: the state that it leaves is thrown away, and a pipeline knows nothing but its state.
 */
import { encodeMessage, type Message, type PipelineEvent, type PosternRecord, WIRE } from '../../../protocol/index.ts';
import { finish, INITIAL_STATE, step } from '../../pipeline/index.ts';
import { type GateBoardSetup, gateBoards, type Rig } from '../../rig/index.ts';
import { LiveFeed } from '../../serve/index.ts';
import { NOTHING_CHECKED, thenCheck } from '../camera/checking.ts';

/** Enough for the parts that count to be compiled; a quarter of a second of a core. */
const SHOTS = 4;
const SHOT_EVERY_NS = 20e9;
const CLOCK_EVERY_NS = 0.5e9;
const SPEED_MPS = 300;
const TRIGGER_PULSE_NS = 1e6;
/** From an edge to its line's arrival. */
const ON_THE_WAY_NS = 2e6;

export interface RehearsalSetup {
  readonly rig: Rig;
  readonly fileName: string;
  readonly text: string;
}

/** @returns how many of the invented shots were given a velocity */
export function rehearse({ rig, fileName, text }: RehearsalSetup): number {
  const feed = new LiveFeed({ mode: 'live' });
  let state = INITIAL_STATE;
  let checking = NOTHING_CHECKED;
  let measured = 0;
  const tell = (said: readonly PipelineEvent[], atNs: number): void => {
    const [next, events] = thenCheck(checking, said);
    checking = next;
    for (const event of events) {
      feed.accept(event);
      if (event.type === 'shot' && event.phase === 'closed' && event.shot.muzzleVelocityMps) measured += 1;
    }
    if (events.some(({ type }) => type === 'shot')) JSON.stringify(feed.flush(atNs));
  };
  let newestNs = 0;
  for (const record of recordsOf(rig, { fileName, text })) {
    newestNs = Math.max(newestNs, record.atNs);
    const [next, events] = step(state, record);
    state = next;
    tell(events, record.atNs);
  }
  tell(finish(state, newestNs)[1], newestNs);
  return measured;
}

function recordsOf(rig: Rig, { fileName, text }: Pick<RehearsalSetup, 'fileName' | 'text'>): readonly PosternRecord[] {
  const value = { sessionId: 'rehearsal', softwareVersion: '', protocolVersion: WIRE.protocolVersion, fileName, text };
  const records: PosternRecord[] = [
    { kind: 'clock', source: 'host', atNs: 0, value: { utcUs: 0 } },
    { kind: 'rig', source: 'host', atNs: 0, value },
  ];
  for (const board of gateBoards(rig)) records.push(...linesOf(board, rig));
  for (let atNs = CLOCK_EVERY_NS; atNs < (SHOTS + 1) * SHOT_EVERY_NS; atNs += CLOCK_EVERY_NS) {
    records.push({ kind: 'clock', source: 'host', atNs, value: { utcUs: atNs / 1000 } });
  }
  return records.sort((a, b) => a.atNs - b.atNs);
}

function linesOf(board: GateBoardSetup, rig: Rig): readonly PosternRecord[] {
  const source = board.name;
  const tickRateHz = Math.round(board.tickRateHz.value);
  const ticksAt = (ns: number): number => Math.round((ns / 1e9) * tickRateHz);
  const records: PosternRecord[] = [{ kind: 'link', source, atNs: 0, value: { change: 'opened', path: '', detail: '' } }];
  const say = (message: Message, atNs: number): void => {
    const bytes = new Uint8Array(Buffer.from(encodeMessage(message, records.length - 1), 'latin1'));
    records.push({ kind: 'line', source, atNs, bytes });
  };
  const who = { boardId: board.boardId ?? 'rehearsal', bootId: 1, resetCause: 'power', gateInputCount: WIRE.gateInputsMax } as const;
  say({ kind: 'HELLO', protocolVersion: WIRE.protocolVersion, tickRateHz, ticks: 0, channelCount: 0, oldestHeldSeq: 0, ...who }, 1e6);
  for (let sentNs = 1e7; sentNs <= 1e8; sentNs += 1e7) {
    const ticks = ticksAt(sentNs + 1000);
    const token = sentNs.toString(16).toUpperCase().padStart(16, '0');
    say({ kind: 'STAMP', token, ticksReceived: ticks, ticksSent: ticks }, sentNs + 2000);
  }
  for (let shot = 1; shot <= SHOTS; shot += 1) {
    for (const { input, active, atNs } of edgesOf(board, rig, shot * SHOT_EVERY_NS)) {
      say({ kind: 'EDGE', input, active, ticks: ticksAt(atNs), hardwareTimed: true }, atNs + ON_THE_WAY_NS);
    }
  }
  return records;
}

function edgesOf({ name }: GateBoardSetup, rig: Rig, firedNs: number) {
  const nsTo = (distanceM: number): number => firedNs + Math.round((1e9 * distanceM) / SPEED_MPS);
  const radiusM = rig.projectile.diameterM.value / 2;
  const trigger = rig.trigger?.board === name ? [{ input: rig.trigger.input, fromNs: firedNs, toNs: firedNs + TRIGGER_PULSE_NS }] : [];
  const gates = rig.gates
    .filter(({ board }) => board === name)
    .map(({ input, positionM: { value } }) => ({ input, fromNs: nsTo(value - radiusM), toNs: nsTo(value + radiusM) }));
  return [...trigger, ...gates]
    .flatMap(({ input, fromNs, toNs }) => [
      { input, active: true, atNs: fromNs },
      { input, active: false, atNs: toNs },
    ])
    .sort((a, b) => a.atNs - b.atNs);
}
