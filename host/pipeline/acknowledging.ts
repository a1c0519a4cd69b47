/**
 * Which edges the boards may let go of. Those of a shot that is still open stay on the board, so that a host that is
 * killed in its midst, and started again, gets the whole shot, and not the half that its journal lacks.
 */
import type { HostMessage, PipelineEvent, SessionNs } from '../../protocol/index.ts';
import { acknowledge } from './sequence.ts';
import type { BoardEdge, BoardState, PipelineState } from './state.ts';

/** A board has room for 32 edges at least: with so many waiting, it is given room, by the eldest open shots first. */
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

/** Number of the first edge to be kept on the board: of the eldest open shot whose edges, and all after them, are not too many. */
function heldFrom({ shots }: PipelineState, { name, sequence }: BoardState): number {
  const { bootId, acknowledgedUpTo, unacknowledgedEdges } = sequence;
  const firstOf = (edges: readonly BoardEdge[]): number =>
    edges.reduce(
      (lowest, edge) =>
        edge.board === name && edge.bootId === bootId && edge.seq > acknowledgedUpTo ? Math.min(lowest, edge.seq) : lowest,
      Number.POSITIVE_INFINITY,
    );
  const firsts = [firstOf(shots.waiting), ...shots.records.flatMap((record) => (record.isOpen ? [firstOf(record.edges)] : []))];
  const fits = (from: number): boolean => unacknowledgedEdges.filter((seq) => seq >= from).length < EDGES_HELD_BACK_MAX;
  return Math.min(...firsts.filter(fits), Number.POSITIVE_INFINITY);
}

const requestOf = (source: string, atNs: SessionNs, message: HostMessage): PipelineEvent => ({
  type: 'request',
  atNs,
  source,
  message,
  afterSync: true,
});
