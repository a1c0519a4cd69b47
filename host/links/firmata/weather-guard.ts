/** Weather moves slowly: a reading far from the one a second ago needs the next one to be believed. */
import type { WeatherReading } from './bme280-watch.ts';
import { createStepGuard, type StepGuard } from './step-guard.ts';

/** Between two readings a second apart; more than wind, sun or a hand on the sensor do, common practice. */
const STEP_MAX: WeatherReading = { temperatureK: 2, pressurePa: 300, humidity: 0.1 };

export function createWeatherGuard(): StepGuard<WeatherReading> {
  const isNear = (a: WeatherReading, b: WeatherReading): boolean =>
    Math.abs(a.temperatureK - b.temperatureK) <= STEP_MAX.temperatureK &&
    Math.abs(a.pressurePa - b.pressurePa) <= STEP_MAX.pressurePa &&
    Math.abs(a.humidity - b.humidity) <= STEP_MAX.humidity;
  return createStepGuard(isNear, 'confirmation');
}
