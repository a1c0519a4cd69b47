/** What a page that connects now must be told besides boards and shots: the newest of each thing that is in a state. */
import type {
  AdjustedEvent,
  HoldPointsEvent,
  ImpactsEvent,
  LiveEvent,
  NoteEvent,
  OffsetEvent,
  RigRejectedEvent,
  SnapshotMessage,
  WatchEvent,
} from '../../protocol/index.ts';

export interface PresentState {
  readonly watches: ReadonlyMap<string, WatchEvent>;
  readonly holdPoints: HoldPointsEvent | undefined;
  readonly impacts: ImpactsEvent | undefined;
  /** By channel. */
  readonly adjusted: ReadonlyMap<string, AdjustedEvent>;
  readonly offsets: ReadonlyMap<string, OffsetEvent>;
  readonly rigRejected: RigRejectedEvent | undefined;
  readonly notes: readonly NoteEvent[];
}

export const NOTHING_PRESENT: PresentState = {
  watches: new Map(),
  holdPoints: undefined,
  impacts: undefined,
  adjusted: new Map(),
  offsets: new Map(),
  rigRejected: undefined,
  notes: [],
};

/** More channels and limits than any rig has: further ones are sent as events, and not kept. */
const WATCHES_KEPT = 512;
const ADJUSTED_KEPT = 512;
const NOTES_KEPT = 20;

/** @returns the state itself where the event changes nothing in it */
export function withEvent(state: PresentState, event: LiveEvent): PresentState {
  switch (event.type) {
    case 'fill':
    case 'vacuum':
    case 'weather':
    case 'health':
    case 'limit':
    case 'blow-down': {
      const key = keyOf(event);
      if (!state.watches.has(key) && state.watches.size >= WATCHES_KEPT) return state;
      return { ...state, watches: new Map(state.watches).set(key, event) };
    }
    case 'hold-points':
      return { ...state, holdPoints: event };
    case 'impacts':
      return { ...state, impacts: event };
    case 'adjusted':
      if (!state.adjusted.has(event.channel) && state.adjusted.size >= ADJUSTED_KEPT) return state;
      return { ...state, adjusted: new Map(state.adjusted).set(event.channel, event) };
    case 'offset':
      return { ...state, offsets: new Map(state.offsets).set(event.channel, event) };
    case 'rig-rejected':
      return { ...state, rigRejected: event };
    case 'session':
      return { ...state, rigRejected: undefined };
    case 'note':
      return { ...state, notes: [event, ...state.notes].slice(0, NOTES_KEPT) };
    default:
      return state;
  }
}

export const presentOf = (
  state: PresentState,
): Pick<SnapshotMessage, 'watches' | 'holdPoints' | 'impacts' | 'adjusted' | 'offsets' | 'rigRejected' | 'notes'> => ({
  watches: [...state.watches.values()],
  ...(state.holdPoints ? { holdPoints: state.holdPoints } : {}),
  ...(state.impacts ? { impacts: state.impacts } : {}),
  ...(state.adjusted.size > 0 ? { adjusted: [...state.adjusted.values()] } : {}),
  ...(state.offsets.size > 0 ? { offsets: [...state.offsets.values()] } : {}),
  ...(state.rigRejected ? { rigRejected: state.rigRejected } : {}),
  notes: state.notes,
});

function keyOf(event: WatchEvent): string {
  if (event.type === 'health') return `health ${event.channel}`;
  return event.type === 'limit' ? `limit ${event.id}` : event.type;
}
