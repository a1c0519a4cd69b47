/** `npm run firmware`: makes the file that is flashed, and says what it takes. */
import { parseArgs } from 'node:util';
import { buildFirmware, FLASH_BYTES_MAX, MEMORY_BYTES_MAX, writeHex } from './bench/build-firmware.ts';

const FILE = 'firmware-sim/avr/build/gate-board.hex';

try {
  const { values } = parseArgs({ options: { 'board-id': { type: 'string', default: 'CS-GB-01' } } });
  const firmware = buildFirmware({ boardId: values['board-id'], shelf: undefined });
  writeHex(FILE, firmware);
  console.log(
    `${FILE}: flash ${firmware.flashBytes} of ${FLASH_BYTES_MAX} bytes, memory ${firmware.memoryBytes} of ${MEMORY_BYTES_MAX} bytes (the chip has 8192)`,
  );
} catch (error) {
  console.error((error as Error).message);
  process.exitCode = 1;
}
