/**
 * Which edges the boards may let go of. Those of a shot that is still open stay on the board, so that a host that is
 * killed in its midst, and started again, gets the whole shot, and not the half that its journal lacks.
 */
import type { HostMessage, PipelineEvent, SessionNs } from '../../protocol/index.ts';
import { acknowledge } from './sequence.ts';
import type { BoardState, PipelineState } from './state.ts';

/** A board has room for 32 edges at least: with so many waiting, it is given room, whatever is open. */
export const EDGES_HELD_BACK_MAX = 24;

export function acknowledgeEdges(before: PipelineState, atNs: SessionNs): readonly [PipelineState, readonly PipelineEvent[]] {
  let state = before;
  const events: PipelineEvent[] = [];
  for (const board of Object.values(before.boards)) {
    if (board.sequence.unacknowledgedEdges.length === 0) continue;
    const [sequence, messages] = acknowledge(board.sequence, heldFrom(before, board));
    if (messages.length === 0) continue;
    state = { ...state, boards: { ...state.boards, [board.name]: { ...board, sequence } } };
    events.push(...messages.map((message) => requestOf(board.name, atNs, message)));
  }
  return [state, events];
}

function heldFrom({ shots }: PipelineState, { name, sequence }: BoardState): number {
  if (sequence.unacknowledgedEdges.length >= EDGES_HELD_BACK_MAX) return Number.POSITIVE_INFINITY;
  let lowest = Number.POSITIVE_INFINITY;
  for (const edges of [shots.waiting, ...shots.records.flatMap((record) => (record.isOpen ? [record.edges] : []))]) {
    for (const { board, bootId, seq } of edges) {
      if (board === name && bootId === sequence.bootId && seq > sequence.acknowledgedUpTo && seq < lowest) lowest = seq;
    }
  }
  return lowest;
}

const requestOf = (source: string, atNs: SessionNs, message: HostMessage): PipelineEvent => ({
  type: 'request',
  atNs,
  source,
  message,
  afterSync: true,
});
