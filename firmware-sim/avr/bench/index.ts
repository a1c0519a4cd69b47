export { AVR_TICK_RATE_HZ, type AvrBench, type AvrBoard, type AvrBoardOptions, createAvrBoard } from './avr-board.ts';
export {
  buildFirmware,
  compilerVersion,
  type Firmware,
  type FirmwareOptions,
  FLASH_BYTES_MAX,
  firmwareKey,
  MEMORY_BYTES_MAX,
  type Replacement,
} from './build-firmware.ts';
export { readIntelHex } from './intel-hex.ts';
export { GATE_COUNT } from './pins.ts';
export { CAPTURE_DELAY_CYCLES } from './timer.ts';
