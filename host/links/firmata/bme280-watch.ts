/**
 * Keeps a BME280 measuring while its board is there: sets it up, again after silence, and says when that does not help.
 */
import type { Bme280Air } from './bme280-compensation.ts';
import { measureBme280, type SensorAt, setUpBme280 } from './bme280-sensor.ts';
import { pause } from './waiting.ts';

export interface WeatherReading {
  readonly temperatureK: number;
  readonly pressurePa: number;
  /** 0 to 1. */
  readonly humidity: number;
}

export interface WeatherPorts {
  readonly onReading: (reading: WeatherReading) => void;
  /** One sentence; empty: all is well (again). */
  readonly onProblem: (detail: string) => void;
  /** A reading that the sensor cannot have meant. */
  readonly onOutOfRange: () => void;
  /** It gave readings, has stopped, and setting it up again was no help: only the port is left to try. Told once, last. */
  readonly onGivenUp: (detail: string) => void;
}

export interface WeatherTiming {
  readonly everyMs: number;
  /** No reading for so long: it is set up again. */
  readonly silenceMs: number;
}

const ZERO_CELSIUS_K = 273.15;
/** What the sensor can measure. Source: BME280 data sheet, section 1 (from memory). */
const RANGE = { temperatureC: [-40, 85], pressurePa: [30e3, 110e3], humidityPercent: [0, 100] } as const;
/** By rounding and condensation the formula goes a little beyond what can be. */
const HUMIDITY_BEYOND_PERCENT = 5;

/** Ends upon the signal, or having given up. */
export async function watchBme280(at: SensorAt, timing: WeatherTiming, ports: WeatherPorts, signal: AbortSignal): Promise<void> {
  let hasEverRead = false;
  while (!signal.aborted) {
    const words = await setUpBme280(at, signal);
    if (words === undefined || signal.aborted) return;
    if (typeof words === 'string') {
      if (hasEverRead) return ports.onGivenUp(words);
      ports.onProblem(words);
      await pause(timing.silenceMs, signal);
      continue;
    }
    const count = await measureUntilSilent(at, words, timing, ports, signal);
    if (signal.aborted) return;
    const detail = 'the BME280 gives no reading that can be true; check its wiring and the cable';
    if (count === 0 && hasEverRead) return ports.onGivenUp(detail);
    if (count === 0) ports.onProblem(detail);
    hasEverRead ||= count > 0;
  }
}

/** @returns how many readings there were */
async function measureUntilSilent(
  at: SensorAt,
  words: Parameters<typeof measureBme280>[1],
  timing: WeatherTiming,
  ports: WeatherPorts,
  signal: AbortSignal,
): Promise<number> {
  let count = 0;
  let missedInRow = 0;
  while (!signal.aborted && missedInRow * timing.everyMs < timing.silenceMs) {
    // The first beat runs along with the measurement, so that one a second is one a second.
    const beat = pause(timing.everyMs, signal);
    const air = await measureBme280(at, words, signal);
    const reading = air && checked(air);
    if (air !== undefined && reading === undefined) ports.onOutOfRange();
    if (reading !== undefined && !signal.aborted) {
      if (count === 0) ports.onProblem('');
      ports.onReading(reading);
      count += 1;
    }
    missedInRow = reading === undefined ? missedInRow + 1 : 0;
    await beat;
  }
  return count;
}

/** @returns SI, or undefined where a value is outside of what the sensor can measure */
export function checked({ temperatureC, pressurePa, humidityPercent }: Bme280Air): WeatherReading | undefined {
  const [dry, wet] = RANGE.humidityPercent;
  const isTrue =
    isWithin(temperatureC, RANGE.temperatureC) &&
    isWithin(pressurePa, RANGE.pressurePa) &&
    isWithin(humidityPercent, [dry - HUMIDITY_BEYOND_PERCENT, wet + HUMIDITY_BEYOND_PERCENT]);
  if (!isTrue) return undefined;
  return { temperatureK: temperatureC + ZERO_CELSIUS_K, pressurePa, humidity: Math.min(Math.max(humidityPercent, dry), wet) / 100 };
}

/** False for what is no number. */
const isWithin = (value: number, [low, high]: readonly [number, number]): boolean => value >= low && value <= high;
