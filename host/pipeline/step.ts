/**
 * The pipeline: one fold over records. Live and replay run it alike; it has no clock, no chance and no I/O, so the same
 * records give the same events to the byte.
 */
import type { ClockRecord, LineRecord, LinkRecord, PipelineEvent, PosternRecord, RigRecord } from '../../protocol/index.ts';
import { channelOn, type GateBoardSetup, gateBoards, loadRig, type Rig, summarise } from '../rig/index.ts';
import { acknowledgeEdges } from './acknowledging.ts';
import { type BoardOutcome, newBoard, passBoardTime, takeLine as takeBoardLine } from './boards.ts';
import { takeCrewAct, thenCrew } from './crewing.ts';
import { takeBlock, takeReading, takeText } from './samples.ts';
import { forgetAsking } from './sequence.ts';
import { finishShots, passShotTime, takeBurst, takeEdge } from './shots.ts';
import type { BoardState, PipelineState } from './state.ts';
import { boardOf, utcText } from './time.ts';
import { passWatchTime, watchSetupOf } from './watching.ts';

export type Step = readonly [PipelineState, readonly PipelineEvent[]];

export const step = (state: PipelineState, record: PosternRecord): Step =>
  thenCrew(state, thenAcknowledge(heed(state, record), record.atNs), record.atNs);

function heed(state: PipelineState, record: PosternRecord): Step {
  switch (record.kind) {
    case 'rig':
      return takeRig(state, record);
    case 'clock':
      return takeClock(state, record);
    case 'link':
      return takeLink(state, record);
    case 'line':
      return takeLine(state, record);
    case 'operator':
      return takeCrewAct(state, record);
    case 'reading':
      return state.rig ? thenTime(takeReading(state, state.rig, record), record.atNs) : [state, []];
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
  const watchSetup = watchSetupOf(rig, rig.assumedAir.pressurePa.value);
  const next = { ...finished, sessionId, softwareVersion, rig, boards, watchSetup };
  const openedAt = utcText(next.utc, record.atNs);
  return [next, [...closing, { type: 'session', atNs: record.atNs, sessionId, openedAt, softwareVersion, rig: summarise(rig) }]];
}

function takeClock(state: PipelineState, record: ClockRecord): Step {
  const [passed, events] = passTime({ ...state, utc: { atNs: record.atNs, utcUs: record.value.utcUs } }, record.atNs);
  if (!passed.rig) return [passed, events];
  // Twice a second is often enough to notice that something has gone silent or old.
  const [watched, later] = passWatchTime(passed, passed.rig, record.atNs);
  return [watched, [...events, ...later]];
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

function takeLine(state: PipelineState, record: LineRecord): Step {
  const setup = state.rig?.boards.find((board) => board.name === record.source);
  if (!state.rig || !setup) return [state, []];
  if (setup.kind === 'text') return thenTime(takeText(state, state.rig, setup, record), record.atNs);
  const board = boardOf(state, record.source);
  return setup.kind === 'gate-board' && board ? takeFrame(state, state.rig, { board, setup, record }) : [state, []];
}

function takeFrame(
  state: PipelineState,
  rig: Rig,
  { board, setup, record }: { readonly board: BoardState; readonly setup: GateBoardSetup; readonly record: LineRecord },
): Step {
  const outcome = takeBoardLine(board, setup, record);
  // A restart begins the board's ticks anew: what was timed by the old ones is finished while they still mean something.
  const [finished, closing] = outcome.restarted ? finishShots(state, rig, record.atNs, record.source) : [state, []];
  const [heard, events] = hearMessage(withBoard(finished, outcome.state), rig, record, outcome);
  const [passed, later] = passTime(heard, record.atNs);
  return [passed, [...closing, ...outcome.events, ...events, ...later]];
}

function hearMessage(state: PipelineState, rig: Rig, record: LineRecord, outcome: BoardOutcome): Step {
  const { message } = outcome;
  const fresh = outcome.restarted ? withoutSamplesOf(state, rig, record.source) : state;
  if (message?.kind === 'EDGE') {
    const { seq, input, active, ticks, hardwareTimed } = message;
    const bootId = boardOf(fresh, record.source)?.sequence.bootId ?? 0;
    return takeEdge(fresh, rig, { board: record.source, bootId, seq, input, active, ticks, hardwareTimed, arrivedAtNs: record.atNs });
  }
  const channel = message?.kind === 'DATA' ? channelOn(rig, record.source, message.channel) : undefined;
  if (message?.kind !== 'DATA' || !channel) return [fresh, []];
  const [taken, events] = takeBlock(fresh, rig, channel, message, record.atNs);
  return [message.stream === 'burst' ? takeBurst(taken, record.atNs) : taken, events];
}

function thenAcknowledge([state, events]: Step, atNs: number): Step {
  const [next, requests] = acknowledgeEdges(state, atNs);
  return requests.length === 0 ? [state, events] : [next, [...events, ...requests]];
}

function thenTime([state, events]: Step, atNs: number): Step {
  const [passed, later] = passTime(state, atNs);
  return [passed, [...events, ...later]];
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
