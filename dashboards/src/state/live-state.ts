/** All that the page knows of the range, as signals; fed by the messages of `/live`. */
import { signal } from '@preact/signals';
import type { Envelope, LiveBoard, LiveEvent, LiveMessage, RecordingState, RigSummary, SnapshotMessage } from '../../../protocol/index.ts';
import { soundFor, soundForRecording } from './alarm-sound.ts';
import { ChannelTrace, type Present, presentAfter } from './channel-trace.ts';
import { crewFromSnapshot, rigRejected, takeCrew } from './crew.ts';
import { hostSaid } from './page-clock.ts';
import { replay } from './replay.ts';
import { cameraTold, exclusionHeard, forgetShots, shotArrived, shotsFromSnapshot } from './shots.ts';
import { takeWatch, watchesFromSnapshot, watchesOfRig } from './watches.ts';

export interface Session {
  readonly sessionId: string;
  readonly mode: 'live' | 'replay';
  readonly originUtcMs: number;
}

export const session = signal<Session>();
export const rig = signal<RigSummary>();
export const boards = signal<Readonly<Record<string, LiveBoard>>>({});
/** Undefined while nothing has ever been amiss with the journal. */
export const recording = signal<RecordingState>();
export const presents = signal<Readonly<Partial<Record<string, Present>>>>({});
/** Counts up when traces have something new to draw. */
export const traceTick = signal(0);
export const traces = new Map<string, ChannelTrace>();

/** Number of the newest event told; where to resume from. */
let seq = 0;
export const resumePoint = (): { readonly sessionId: string; readonly since: number } | undefined =>
  session.peek() && { sessionId: session.peek()?.sessionId ?? '', since: seq };

/**
 * Takes a message as it came over the line. One that is none is passed over, so that it cannot keep the page from the
 * next; the next snapshot puts everything right.
 * @returns whether it was taken
 */
export function takeText(text: string): boolean {
  try {
    take(JSON.parse(text) as LiveMessage);
    return true;
  } catch (error) {
    console.error('a message of the host could not be taken', error);
    return false;
  }
}

export function take(message: LiveMessage): void {
  switch (message.type) {
    case 'snapshot':
      hostSaid(message.nowNs, message.mode === 'live');
      takeSnapshot(message);
      return;
    case 'event':
      hostSaid(message.nowNs, session.peek()?.mode === 'live');
      seq = message.seq;
      takeEvent(message.event);
      return;
    case 'recording':
      hostSaid(message.nowNs, session.peek()?.mode === 'live');
      takeRecording(message.recording);
      return;
    case 'envelope':
      hostSaid(message.nowNs, session.peek()?.mode === 'live');
      takeEnvelopes(message.envelopes);
      return;
    case 'replay':
      hostSaid(message.nowNs, false);
      replay.value = message.replay;
  }
}

function takeSnapshot(message: SnapshotMessage): void {
  seq = message.seq;
  session.value = { sessionId: message.sessionId, mode: message.mode, originUtcMs: message.originUtcMs };
  rig.value = message.rig;
  boards.value = message.boards;
  watchesFromSnapshot(message.watches);
  for (const event of message.watches) if (event.type === 'limit') soundFor(event);
  crewFromSnapshot(message);
  takeRecording(message.recording);
  presents.value = {};
  traces.clear();
  takeEnvelopes(message.history);
  replay.value = message.replay;
  // Gone back, what is still to come is not known yet.
  if (message.mode === 'replay') forgetShots();
  shotsFromSnapshot(message.shots, message.newestShotPhase);
}

function takeRecording(state: RecordingState | undefined): void {
  recording.value = state;
  soundForRecording(state);
}

function takeEvent(event: LiveEvent): void {
  switch (event.type) {
    case 'session':
      rig.value = event.rig;
      rigRejected.value = undefined;
      watchesOfRig(event.rig);
      return;
    case 'shot':
      shotArrived(event.shot, event.phase);
      return;
    case 'shot-excluded':
      exclusionHeard(event);
      return;
    case 'shot-camera':
      cameraTold(event);
      return;
    case 'link':
    case 'board':
    case 'wire':
    case 'clock':
    case 'inputs':
    case 'text-lines':
      boards.value = { ...boards.value, [event.source]: { ...boards.value[event.source], [event.type]: event } };
      return;
    case 'limit':
      soundFor(event);
      takeWatch(event);
      return;
    case 'fill':
    case 'vacuum':
    case 'weather':
    case 'health':
    case 'blow-down':
      takeWatch(event);
      return;
    case 'hold-points':
    case 'impacts':
    case 'adjusted':
    case 'offset':
    case 'note':
    case 'rig-rejected':
    case 'act-refused':
      takeCrew(event);
  }
}

function takeEnvelopes(envelopes: readonly Envelope[]): void {
  const now: Partial<Record<string, Present>> = { ...presents.peek() };
  for (const envelope of envelopes) {
    traceOf(envelope.channel).add(envelope);
    const present = presentAfter(now[envelope.channel], envelope);
    if (present) now[envelope.channel] = present;
  }
  if (envelopes.length > 0) presents.value = now;
  traceTick.value += 1;
}

function traceOf(channel: string): ChannelTrace {
  const known = traces.get(channel);
  if (known) return known;
  const made = new ChannelTrace();
  traces.set(channel, made);
  return made;
}
