/**
 * The pipeline: one fold over records. Live and replay run it alike; it has no clock, no chance and no I/O, so the same
 * records give the same events to the byte.
 */
import type {
  ClockRecord,
  DataBlock,
  LineRecord,
  LinkRecord,
  OperatorRecord,
  PipelineEvent,
  PosternRecord,
  RigRecord,
} from '../../protocol/index.ts';
import { hostNs } from '../metrology/index.ts';
import { channelOn, convert, gateBoard, gateBoards, loadRig, type Rig, summarise } from '../rig/index.ts';
import { type BoardOutcome, newBoard, passBoardTime, takeLine } from './boards.ts';
import { keepBlock, NO_SAMPLES } from './channel-history.ts';
import { ambientPressurePa } from './latch.ts';
import { forgetAsking } from './sequence.ts';
import { finishShots, passShotTime, takeBurst, takeEdge, takeReservoirBlock } from './shots.ts';
import type { BoardState, PipelineState } from './state.ts';
import { boardOf, nsPerTick, utcText } from './time.ts';

export type Step = readonly [PipelineState, readonly PipelineEvent[]];

export function step(state: PipelineState, record: PosternRecord): Step {
  switch (record.kind) {
    case 'rig':
      return takeRig(state, record);
    case 'clock':
      return takeClock(state, record);
    case 'link':
      return takeLink(state, record);
    case 'line':
      return takeBoardLine(state, record);
    case 'operator':
      return takeAct(state, record);
    case 'reading':
      // Boards that speak the gate-board wire send counts in lines; no driver of readings is named in a rig file yet.
      return [state, []];
  }
}

/** The session ends: a shot that is still open is closed with what there is of it. */
export const finish = (state: PipelineState, atNs: number): Step => (state.rig ? finishShots(state, state.rig, atNs) : [state, []]);

function takeRig(state: PipelineState, record: RigRecord): Step {
  const { sessionId, softwareVersion, fileName, text } = record.value;
  const loaded = loadRig(text, fileName);
  if (!loaded.ok) {
    const problems = loaded.problems.map((problem) => `${fileName}:${problem.line}:${problem.column} ${problem.path}: ${problem.message}`);
    return [state, [{ type: 'rig-rejected', atNs: record.atNs, problems }]];
  }
  const { rig } = loaded;
  // What was fired under the old rig file is reduced under it.
  const [finished, closing] = finish(state, record.atNs);
  const boards = Object.fromEntries(gateBoards(rig).map((setup) => [setup.name, boardOf(finished, setup.name) ?? newBoard(setup.name)]));
  const next = { ...finished, sessionId, softwareVersion, rig, boards };
  const openedAt = utcText(next.utc, record.atNs);
  return [next, [...closing, { type: 'session', atNs: record.atNs, sessionId, openedAt, softwareVersion, rig: summarise(rig) }]];
}

function takeClock(state: PipelineState, record: ClockRecord): Step {
  return passTime({ ...state, utc: { atNs: record.atNs, utcUs: record.value.utcUs } }, record.atNs);
}

function takeLink(state: PipelineState, record: LinkRecord): Step {
  const { change, path, detail } = record.value;
  const event: PipelineEvent = { type: 'link', atNs: record.atNs, source: record.source, change, path, detail };
  const board = boardOf(state, record.source);
  if (!board || change === 'opening' || change === 'running') return [state, [event]];
  if (change !== 'opened') return [withBoard(state, { ...board, isLinked: false }), [event]];
  const open = { ...board, isLinked: true, openedAtNs: record.atNs, sequence: forgetAsking(board.sequence) };
  return [withBoard(state, open), [event]];
}

function takeBoardLine(state: PipelineState, record: LineRecord): Step {
  const setup = state.rig && gateBoard(state.rig, record.source);
  const board = boardOf(state, record.source);
  if (!state.rig || !setup || !board) return [state, []];
  const outcome = takeLine(board, setup, record);
  // A restart begins the board's ticks anew: what was timed by the old ones is finished while they still mean something.
  const [finished, closing] = outcome.restarted ? finishShots(state, state.rig, record.atNs, record.source) : [state, []];
  const [heard, events] = hearMessage(withBoard(finished, outcome.state), state.rig, record, outcome);
  const [passed, later] = passTime(heard, record.atNs);
  return [passed, [...closing, ...outcome.events, ...events, ...later]];
}

function hearMessage(state: PipelineState, rig: Rig, record: LineRecord, outcome: BoardOutcome): Step {
  const { message } = outcome;
  const fresh = outcome.restarted ? withoutSamplesOf(state, rig, record.source) : state;
  if (message?.kind === 'EDGE') {
    const { input, active, ticks } = message;
    const bootId = boardOf(fresh, record.source)?.sequence.bootId ?? 0;
    return takeEdge(fresh, rig, { board: record.source, bootId, input, active, ticks, arrivedAtNs: record.atNs });
  }
  if (message?.kind === 'DATA') return takeData(fresh, rig, record, message);
  return [fresh, []];
}

function takeData(state: PipelineState, rig: Rig, record: LineRecord, message: DataBlock): Step {
  const channel = channelOn(rig, record.source, message.channel);
  if (!channel) return [state, []];
  const { name } = channel;
  const kept = { ...state, channels: { ...state.channels, [name]: keepBlock(state.channels[name] ?? NO_SAMPLES, message) } };
  const clock = boardOf(kept, record.source)?.clock;
  const offset = channel.reference === 'gauge' ? ambientPressurePa(kept, rig, record.atNs) : 0;
  const valuesSi = message.counts.map((count) => convert(channel, count).si + offset);
  const samples: readonly PipelineEvent[] = clock
    ? [
        {
          type: 'samples',
          atNs: record.atNs,
          channel: name,
          stream: message.stream,
          fromNs: Math.round(hostNs(clock, message.ticks)),
          periodNs: message.periodTicks * clock.nsPerTick,
          valuesSi,
        },
      ]
    : [];
  if (message.stream === 'burst') return [takeBurst(kept, record.atNs), samples];
  if (name !== 'reservoirPressure') return [kept, samples];
  const { ticks, periodTicks } = message;
  const board = boardOf(kept, record.source);
  const periodS = (periodTicks * nsPerTick(board, rig, record.source)) / 1e9;
  const bootId = board?.sequence.bootId ?? 0;
  const block = { board: record.source, bootId, ticks, periodTicks, periodS, pressuresPa: valuesSi, arrivedAtNs: record.atNs };
  const [next, events] = takeReservoirBlock(kept, rig, block);
  return [next, [...samples, ...events]];
}

/** Whatever waits for time to pass, waits for the record's. */
function passTime(state: PipelineState, atNs: number): Step {
  const events: PipelineEvent[] = [];
  let next = state;
  for (const board of Object.values(state.boards)) {
    const outcome = passBoardTime(board, atNs);
    if (outcome.state !== board) next = withBoard(next, outcome.state);
    events.push(...outcome.events);
  }
  if (!next.rig) return [next, events];
  const [passed, later] = passShotTime(next, next.rig, atNs);
  return [passed, [...events, ...later]];
}

/** Its ticks have begun anew; the old ones can no longer be placed in time. */
function withoutSamplesOf(state: PipelineState, rig: Rig, board: string): PipelineState {
  const lost = rig.channels.filter((channel) => channel.board === board).map((channel) => channel.name);
  const channels = Object.fromEntries(Object.entries(state.channels).filter(([name]) => !lost.includes(name)));
  return { ...state, channels };
}

const withBoard = (state: PipelineState, board: BoardState): PipelineState => ({
  ...state,
  boards: { ...state.boards, [board.name]: board },
});

function takeAct(state: PipelineState, { atNs, value }: OperatorRecord): Step {
  if (value.act === 'note') return [state, [{ type: 'note', atNs, text: value.text, ...(value.shotId ? { shotId: value.shotId } : {}) }]];
  return [state, [{ type: 'act-refused', atNs, act: value.act, why: 'this version does not know the act; bring it up to date' }]];
}
