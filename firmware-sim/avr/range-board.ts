/** The flashable board at its place in the simulated range. */
import type { MakeGateBoard } from '../range.ts';
import { HERON } from '../world/heron.ts';
import { tenBitInputs } from './analog-inputs.ts';
import { buildFirmware, createAvrBoard } from './bench/index.ts';
import { boardSpeed } from './board-speed.ts';
import { madeProgram } from './made-firmware.ts';

export interface FlashableBoard {
  readonly makeGateBoard: MakeGateBoard;
  /** Board seconds that this machine does in one. */
  speed(): number;
}

/** @throws Error with one sentence where the firmware cannot be made, whose sources have been changed since it was made last */
export function flashableBoard(seed: number): FlashableBoard {
  const program = madeProgram({ boardId: HERON.boardId }) ?? buildFirmware({ boardId: HERON.boardId }).program;
  return {
    speed: () => boardSpeed(program, () => performance.now()),
    makeGateBoard: ({ takeEdges, sampleCounts }) => {
      const inputs = { takeEdges, sampleCounts: tenBitInputs(seed, sampleCounts) };
      const board = createAvrBoard({ program, seed, tickRateErrorPpmMax: HERON.tickRateErrorPpmMax, inputs });
      // A program that hangs is what a watchdog is for: the board is back a quarter of a second later.
      return { receive: board.receive, advanceTo: board.advanceTo, restart: board.wedge };
    },
  };
}
