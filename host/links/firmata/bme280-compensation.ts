/**
 * Raw counts of a BME280 to temperature, pressure and humidity, by its calibration words.
 *
 * Why not by johnny-five's driver, which has a conversion of its own:
 * - it does not extend the sign of H4 and H5: up to 100 % of relative humidity wrong on a chip where one is negative;
 * - it has only the 32-bit formula for pressure, up to 6 Pa off; this one is exact to a small part of a pascal;
 * - it checks neither chip id nor length of an answer nor whether anything was measured: from a chip that has lost its power for
 *   a moment (counts of 0x80000) it makes a temperature like any other, 26.5 °C with the data sheet's example words;
 * - it reads the words in the moment after a reset, once, with no check; read as zeros they stay so, and it falls silent.
 *
 * Source: Bosch Sensortec, `BME280_SensorAPI/bme280.c`: compensate_temperature, _pressure and _humidity under
 * BME280_FLOAT_ENABLE, parse_temp_press_calib_data and parse_humidity_calib_data (read).
 */
export interface Bme280Words {
  readonly t: readonly [number, number, number];
  readonly p: readonly number[];
  readonly h: readonly [number, number, number, number, number, number];
}

export interface Bme280Counts {
  /** 20 bit. */
  readonly temperature: number;
  /** 20 bit. */
  readonly pressure: number;
  /** 16 bit. */
  readonly humidity: number;
}

export interface Bme280Air {
  readonly temperatureC: number;
  readonly pressurePa: number;
  /** Percent; a little beyond 0 or 100 where the air is dry or saturated. */
  readonly humidityPercent: number;
}

/** @param from88  24 bytes from 0x88 @param fromA1  the byte at 0xA1 @param fromE1  7 bytes from 0xE1 */
export function parseWords(from88: Uint8Array, fromA1: number, fromE1: Uint8Array): Bme280Words {
  const low = new DataView(from88.buffer, from88.byteOffset, from88.byteLength);
  const high = new DataView(fromE1.buffer, fromE1.byteOffset, fromE1.byteLength);
  const shared = high.getUint8(4);
  return {
    t: [low.getUint16(0, true), low.getInt16(2, true), low.getInt16(4, true)],
    p: Array.from({ length: 9 }, (_, i) => (i === 0 ? low.getUint16(6, true) : low.getInt16(6 + 2 * i, true))),
    h: [
      fromA1,
      high.getInt16(0, true),
      high.getUint8(2),
      high.getInt8(3) * 16 + (shared & 0x0f),
      high.getInt8(5) * 16 + (shared >> 4),
      high.getInt8(6),
    ],
  };
}

/** @param bytes  8 bytes from 0xF7 */
export function parseCounts(bytes: Uint8Array): Bme280Counts {
  const [p0 = 0, p1 = 0, p2 = 0, t0 = 0, t1 = 0, t2 = 0, h0 = 0, h1 = 0] = bytes;
  return { pressure: (p0 << 12) | (p1 << 4) | (p2 >> 4), temperature: (t0 << 12) | (t1 << 4) | (t2 >> 4), humidity: (h0 << 8) | h1 };
}

/** @returns values as the formulas give them: not clamped, perhaps not finite, to be checked for range */
export function compensate(counts: Bme280Counts, words: Bme280Words): Bme280Air {
  const fine = fineTemperature(counts.temperature, words);
  return {
    temperatureC: fine / 5120,
    pressurePa: pressurePa(counts.pressure, fine, words),
    humidityPercent: humidityPercent(counts.humidity, fine, words),
  };
}

/** 5120ths of a degree Celsius. */
function fineTemperature(counts: number, { t: [t1, t2, t3] }: Bme280Words): number {
  const linear = counts / 16384 - t1 / 1024;
  const square = (counts / 131072 - t1 / 8192) ** 2;
  return linear * t2 + square * t3;
}

function pressurePa(counts: number, fine: number, { p }: Bme280Words): number {
  const [p1 = 0, p2 = 0, p3 = 0, p4 = 0, p5 = 0, p6 = 0, p7 = 0, p8 = 0, p9 = 0] = p;
  const warm = fine / 2 - 64000;
  const offset = ((warm * warm * p6) / 32768 + warm * p5 * 2) / 4 + p4 * 65536;
  const gain = (1 + ((p3 * warm * warm) / 524288 + p2 * warm) / 524288 / 32768) * p1;
  const linear = ((1048576 - counts - offset / 4096) * 6250) / gain;
  return linear + ((p9 * linear * linear) / 2147483648 + (linear * p8) / 32768 + p7) / 16;
}

function humidityPercent(counts: number, fine: number, { h: [h1, h2, h3, h4, h5, h6] }: Bme280Words): number {
  const warm = fine - 76800;
  const above = counts - (h4 * 64 + (h5 / 16384) * warm);
  const bend = 1 + (h3 / 67108864) * warm;
  const linear = above * (h2 / 65536) * bend * (1 + (h6 / 67108864) * warm * bend);
  return linear * (1 - (h1 * linear) / 524288);
}
