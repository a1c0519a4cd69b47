/**
 * Air to raw counts of a BME280: the integer compensation formulas of the chip's maker, turned round by bisection.
 * The host uses the floating-point ones, so that holding the two against each other says something.
 *
 * Source: the 32-bit temperature and humidity and the 64-bit pressure formulas of the BME280 data sheet, section 4.2.3
 * (from memory; held against Bosch Sensortec's driver `bme280.c`, which writes the shifts as divisions).
 */
import type { Bme280Calibration } from './bme280-calibration.ts';

export interface AirSample {
  readonly temperatureK: number;
  readonly pressurePa: number;
  /** 0 to 1. */
  readonly relativeHumidity: number;
}

/** Two of 20 bits and one of 16. */
export interface RawCounts {
  readonly temperature: number;
  readonly pressure: number;
  readonly humidity: number;
}

const COUNTS_20_BIT = 2 ** 20;
const COUNTS_16_BIT = 2 ** 16;
const ZERO_CELSIUS_K = 273.15;

export function rawCountsOf(air: AirSample, calibration: Bme280Calibration): RawCounts {
  const temperature = invert(COUNTS_20_BIT, (air.temperatureK - ZERO_CELSIUS_K) * 5120, (raw) => fineTemperature(raw, calibration));
  const fine = fineTemperature(temperature, calibration);
  return {
    temperature,
    pressure: invert(COUNTS_20_BIT, air.pressurePa * 256, (raw) => pressurePa256(raw, fine, calibration)),
    humidity: invert(COUNTS_16_BIT, air.relativeHumidity * 100 * 1024, (raw) => humidityPercent1024(raw, fine, calibration)),
  };
}

/** @returns 5120ths of a degree Celsius; goes on above 85 °C, where 32 bits would overflow */
export function fineTemperature(raw: number, { t1, t2, t3 }: Bme280Calibration): number {
  const var1 = Math.floor((((raw >> 3) - (t1 << 1)) * t2) / 2 ** 11);
  const var2 = (((((raw >> 4) - t1) * ((raw >> 4) - t1)) >> 12) * t3) >> 14;
  return var1 + var2;
}

/** @returns 256ths of a pascal */
export function pressurePa256(raw: number, fine: number, calibration: Bme280Calibration): number {
  const [p1, p2, p3, p4, p5, p6, p7, p8, p9] = calibration.p.map(BigInt) as [
    bigint,
    bigint,
    bigint,
    bigint,
    bigint,
    bigint,
    bigint,
    bigint,
    bigint,
  ];
  const warm = BigInt(fine) - 128000n;
  const offset = warm * warm * p6 + ((warm * p5) << 17n) + (p4 << 35n);
  const gain = (((1n << 47n) + ((warm * warm * p3) >> 8n) + ((warm * p2) << 12n)) * p1) >> 33n;
  if (gain === 0n) return 0;
  const p = (((BigInt(COUNTS_20_BIT - raw) << 31n) - offset) * 3125n) / gain;
  const square = (p9 * (p >> 13n) * (p >> 13n)) >> 25n;
  const linear = (p8 * p) >> 19n;
  return Number(((p + square + linear) >> 8n) + (p7 << 4n));
}

/** @returns 1024ths of a percent, 0 to 102 400 */
export function humidityPercent1024(raw: number, fine: number, { h1, h2, h3, h4, h5, h6 }: Bme280Calibration): number {
  const warm = fine - 76800;
  const counts = ((raw << 14) - (h4 << 20) - h5 * warm + 16384) >> 15;
  const gain = (((((((warm * h6) >> 10) * (((warm * h3) >> 11) + 32768)) >> 10) + 2097152) * h2 + 8192) >> 14) | 0;
  const x = counts * gain;
  const bent = x - Math.floor((Math.floor(Math.floor(x / 2 ** 15) ** 2 / 2 ** 7) * h1) / 2 ** 4);
  return Math.min(Math.max(bent, 0), 419430400) >> 12;
}

/** @returns the count whose value lies nearest to the target; the formulas rise or fall all the way */
function invert(counts: number, target: number, shownBy: (raw: number) => number): number {
  const rises = shownBy(counts - 1) > shownBy(0);
  let [low, high] = [0, counts - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (shownBy(middle) < target === rises) low = middle;
    else high = middle;
  }
  return Math.abs(shownBy(low) - target) <= Math.abs(shownBy(high) - target) ? low : high;
}
