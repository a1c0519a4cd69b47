/** What the crew did and what follows from it: hold points, adjusted channels, impacts, notes. */
import { signal } from '@preact/signals';
import type {
  ActRefusedEvent,
  AdjustedEvent,
  HoldPointsEvent,
  ImpactsEvent,
  NoteEvent,
  OffsetEvent,
  RigRejectedEvent,
  SnapshotMessage,
} from '../../../protocol/index.ts';

export const holdPoints = signal<HoldPointsEvent>();
export const impacts = signal<ImpactsEvent>();
/** The newest of each channel. */
export const adjusted = signal<Readonly<Record<string, AdjustedEvent>>>({});
/** By channel, as last seen open to the air. */
export const offsets = signal<Readonly<Record<string, OffsetEvent>>>({});
/** Newest first. */
export const notes = signal<readonly NoteEvent[]>([]);
export const rigRejected = signal<RigRejectedEvent>();
/** The newest act that could not be carried out, until it is put away. */
export const refused = signal<ActRefusedEvent>();

const NOTES_MAX = 20;

export function takeCrew(
  event: HoldPointsEvent | ImpactsEvent | AdjustedEvent | OffsetEvent | NoteEvent | RigRejectedEvent | ActRefusedEvent,
): void {
  switch (event.type) {
    case 'hold-points':
      holdPoints.value = event;
      return;
    case 'impacts':
      impacts.value = event;
      return;
    case 'adjusted':
      adjusted.value = { ...adjusted.value, [event.channel]: event };
      return;
    case 'offset':
      offsets.value = { ...offsets.value, [event.channel]: event };
      return;
    case 'note':
      notes.value = [event, ...notes.value].slice(0, NOTES_MAX);
      return;
    case 'rig-rejected':
      rigRejected.value = event;
      return;
    case 'act-refused':
      refused.value = event;
  }
}

export function crewFromSnapshot(snapshot: SnapshotMessage): void {
  holdPoints.value = snapshot.holdPoints;
  impacts.value = snapshot.impacts;
  adjusted.value = Object.fromEntries((snapshot.adjusted ?? []).map((event) => [event.channel, event]));
  offsets.value = Object.fromEntries((snapshot.offsets ?? []).map((event) => [event.channel, event]));
  notes.value = snapshot.notes.slice(0, NOTES_MAX);
  rigRejected.value = snapshot.rigRejected;
}
