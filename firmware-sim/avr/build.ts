/** `npm run firmware`: makes the file that is flashed, and says what it takes; `-- --keep` also for those who have no compiler. */
import { parseArgs } from 'node:util';
import { buildFirmware, FLASH_BYTES_MAX, MEMORY_BYTES_MAX, writeHex } from './bench/build-firmware.ts';
import { keepMade } from './made-firmware.ts';

const FILE = 'firmware-sim/avr/build/gate-board.hex';

try {
  const { values } = parseArgs({
    options: { 'board-id': { type: 'string', default: 'CS-GB-01' }, keep: { type: 'boolean', default: false } },
  });
  const boardId = values['board-id'];
  const firmware = buildFirmware({ boardId, shelf: undefined });
  writeHex(FILE, firmware);
  if (values.keep) keepMade(firmware, { boardId });
  console.log(
    `${FILE}: flash ${firmware.flashBytes} of ${FLASH_BYTES_MAX} bytes, memory ${firmware.memoryBytes} of ${MEMORY_BYTES_MAX} bytes (the chip has 8192)`,
  );
} catch (error) {
  console.error((error as Error).message);
  process.exitCode = 1;
}
