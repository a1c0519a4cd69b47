/**
 * Calibration words of a BME280 and the registers that they lie in.
 *
 * Source of names, places and signs: Bosch Sensortec, BME280 driver (`BME280_SensorAPI/bme280.c`,
 * parse_temp_press_calib_data and parse_humidity_calib_data), read.
 */
export interface Bme280Calibration {
  readonly t1: number;
  readonly t2: number;
  readonly t3: number;
  /** P1 to P9; the first unsigned, the others signed. */
  readonly p: readonly [number, number, number, number, number, number, number, number, number];
  readonly h1: number;
  readonly h2: number;
  readonly h3: number;
  /** 12 bit, signed. */
  readonly h4: number;
  /** 12 bit, signed. */
  readonly h5: number;
  readonly h6: number;
}

/**
 * T and P: the example chip of the BMP280 data sheet, section 3.12 (the two chips share these words; from memory).
 * The humidity words are ours, in the range that real chips show.
 */
export const EXAMPLE_CALIBRATION: Bme280Calibration = {
  t1: 27504,
  t2: 26435,
  t3: -1000,
  p: [36477, -10685, 3024, 2855, 140, -7, 15500, -14600, 6000],
  h1: 75,
  h2: 362,
  h3: 0,
  h4: 313,
  h5: 50,
  h6: 30,
};

/** Writes the words where a chip keeps them. @param registers  256 bytes, changed in place */
export function storeCalibration(registers: Uint8Array, calibration: Bme280Calibration, hasHumidity: boolean): void {
  const put16 = (at: number, value: number): void => {
    registers[at] = value & 0xff;
    registers[at + 1] = (value >> 8) & 0xff;
  };
  const { t1, t2, t3, p, h1, h2, h3, h4, h5, h6 } = calibration;
  [t1, t2, t3, ...p].forEach((word, index) => {
    put16(0x88 + 2 * index, word);
  });
  if (!hasHumidity) return;
  registers[0xa1] = h1;
  put16(0xe1, h2);
  registers[0xe3] = h3;
  // Two 12-bit words share the byte in the middle.
  registers[0xe4] = (h4 >> 4) & 0xff;
  registers[0xe5] = (h4 & 0xf) | ((h5 & 0xf) << 4);
  registers[0xe6] = (h5 >> 4) & 0xff;
  registers[0xe7] = h6 & 0xff;
}
