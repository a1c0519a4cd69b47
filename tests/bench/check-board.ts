/**
 * `npm run check:board`: the program that is flashed, run cycle by cycle against edges at exact cycles. Prints a table, ends
 * with 1 where something is not reached. `--small` runs a small part. The capture unit is modelled, not silicon.
 */
import { buildFirmware } from '../../firmware-sim/avr/bench/index.ts';
import { allowanceRows } from './board/allowance.ts';
import { spacingRows } from './board/spacing.ts';
import { stampRows } from './board/stamps.ts';
import { trainRows } from './board/trains.ts';
import { triggerRows } from './board/trigger.ts';
import { watchdogRows } from './board/watchdog.ts';
import { dayRows, wrapRows } from './board/wraps.ts';
import { printTable, type Row } from './table.ts';

const small = process.argv.includes('--small');

function* rows(): Generator<Row> {
  const firmware = buildFirmware();
  yield* stampRows(firmware, small ? 60 : 2000);
  yield* allowanceRows(firmware, small ? 60 : 2000);
  yield* spacingRows(firmware, small ? 60 : 2080);
  yield* trainRows(firmware, small ? 40 : 4);
  yield* triggerRows(firmware, small ? 60 : 2080);
  yield* wrapRows(firmware, small ? 4096 : 1);
  yield* dayRows(firmware, small ? [0, 24] : Array.from({ length: 25 }, (_, hour) => hour));
  yield* watchdogRows(firmware);
}

console.log(`Node ${process.version}.\n`);
await printTable(rows());
