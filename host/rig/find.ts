/** Looking things up in a rig. */
import type { BoardSetup, GateBoardSetup } from './board-setup.ts';
import type { Channel } from './channel.ts';
import type { Rig } from './rig.ts';

export function gateBoards(rig: Rig): readonly GateBoardSetup[] {
  return rig.boards.filter((board: BoardSetup): board is GateBoardSetup => board.kind === 'gate-board');
}

/** undefined too for a board of another kind. */
export function gateBoard(rig: Rig, name: string): GateBoardSetup | undefined {
  return gateBoards(rig).find((board) => board.name === name);
}

/** @param source  number of the channel on a gate board, or the name that the channel reads */
export function channelOn(rig: Rig, board: string, source: number | string): Channel | undefined {
  return rig.channels.find(
    (channel) => channel.board === board && (channel.source.kind === 'number' ? channel.source.channel : channel.source.reads) === source,
  );
}
