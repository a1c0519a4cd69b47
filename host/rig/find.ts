/** Looking things up in a rig. */
import type { BoardSetup, GateBoardSetup, StampSetup } from './board-setup.ts';
import type { Channel } from './channel.ts';
import type { Rig } from './rig.ts';

export function gateBoards(rig: Rig): readonly GateBoardSetup[] {
  return rig.boards.filter((board: BoardSetup): board is GateBoardSetup => board.kind === 'gate-board');
}

/** undefined too for a board of another kind. */
export function gateBoard(rig: Rig, name: string): GateBoardSetup | undefined {
  return gateBoards(rig).find((board) => board.name === name);
}

const EXACT: StampSetup = { delayS: { value: 0, standardUncertainty: 0 }, jitterS: 0 };

/** What a board's stamps of edges are good for; beyond doubt for a board that the rig does not describe (which no rig file may). */
export function stampOf(rig: Rig, board: string, hardwareTimed: boolean): StampSetup {
  const setup = gateBoard(rig, board);
  return (hardwareTimed ? setup?.capture : setup?.software) ?? EXACT;
}

/** @param source  number of the channel on a gate board, or the name that the channel reads */
export function channelOn(rig: Rig, board: string, source: number | string): Channel | undefined {
  return rig.channels.find(
    (channel) => channel.board === board && (channel.source.kind === 'number' ? channel.source.channel : channel.source.reads) === source,
  );
}
