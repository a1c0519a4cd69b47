/** A board that hangs. */
import type { Firmware } from '../../../firmware-sim/avr/bench/index.ts';
import { flashableBench, linesOf } from '../../support/board-benches.ts';
import type { Row } from '../table.ts';

export function* watchdogRows(firmware: Firmware): Generator<Row> {
  const { board, advance } = flashableBench(firmware.program, 1);
  const before = linesOf(advance(0.1), 'HELLO')[0];
  board.wedge(0.1);
  const after = advance(0.6).find(({ message }) => message.kind === 'HELLO');
  const isAnew = after?.message.kind === 'HELLO' && after.message.resetCause === 'watchdog' && after.message.bootId !== before?.bootId;
  const afterS = (after?.timeS ?? Number.NaN) - 0.1;
  yield {
    what: 'A board that hangs is started anew by its watchdog, and says so under a new boot',
    wanted: 'within 0.5 s',
    found: isAnew ? `after ${afterS.toFixed(2)} s` : 'no',
    reached: isAnew && afterS < 0.5,
  };
}
