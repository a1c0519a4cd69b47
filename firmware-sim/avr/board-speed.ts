/** How fast this machine runs the flashable board's processor: whether a simulated range can keep up with the clock on the wall. */
import { createAvrBoard } from './bench/index.ts';

const SLICE_S = 0.02;
/** By then Node has made machine code of the simulator. */
const WARM_S = 0.4;
const MEASURED_S = 0.6;

/** @param nowMs  a clock that only goes forward @returns seconds of the board for each second of that clock */
export function boardSpeed(program: Uint16Array, nowMs: () => number): number {
  const inputs = { takeEdges: () => [], sampleCounts: () => 512 };
  const board = createAvrBoard({ program, seed: 1, tickRateErrorPpmMax: 1, inputs });
  const run = (fromS: number, toS: number): void => {
    for (let timeS = fromS; timeS <= toS; timeS += SLICE_S) board.advanceTo(timeS);
  };
  run(0, WARM_S);
  const startMs = nowMs();
  run(WARM_S, WARM_S + MEASURED_S);
  return (1000 * MEASURED_S) / (nowMs() - startMs);
}
