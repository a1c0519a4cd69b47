/** How fast this machine runs the flashable board's processor: whether a simulated range can keep up with the clock on the wall. */
import { createAvrBoard } from './bench/index.ts';

const SLICE_S = 0.02;
/** By then Node has made machine code of the simulator. */
const WARM_S = 0.4;
const MEASURED_S = 0.6;
/** For either part, so that a slow machine is not kept waiting for the news. */
const TRIED_MS_MAX = 3000;

/** @param nowMs  a clock that only goes forward @returns seconds of the board for each second of that clock */
export function boardSpeed(program: Uint16Array, nowMs: () => number): number {
  const inputs = { takeEdges: () => [], sampleCounts: () => 512 };
  const board = createAvrBoard({ program, seed: 1, tickRateErrorPpmMax: 1, inputs });
  let timeS = 0;
  const run = (seconds: number): number => {
    const [fromS, startMs] = [timeS, nowMs()];
    do {
      timeS += SLICE_S;
      board.advanceTo(timeS);
    } while (timeS - fromS < seconds && nowMs() - startMs < TRIED_MS_MAX);
    return (1000 * (timeS - fromS)) / (nowMs() - startMs);
  };
  run(WARM_S);
  return run(MEASURED_S);
}
