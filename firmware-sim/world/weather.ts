/** Air at the range: drawn once for a session, wandering slowly; and the wind in it. */
import { type Air, moistAir } from './air.ts';
import { randomStream } from './random.ts';
import { drawWind } from './wind.ts';

export interface Weather {
  at(timeS: number): Air;
  /** Along the range, positive from behind, m/s. */
  tailwindMps(timeS: number): number;
}

export function drawWeather(seed: number): Weather {
  const random = randomStream(seed, 'weather');
  const wander = (amplitude: number): ((timeS: number) => number) => {
    const periodS = random.between(900, 3600);
    const phase = random.between(0, 2 * Math.PI);
    return (timeS) => amplitude * Math.sin((2 * Math.PI * timeS) / periodS + phase);
  };
  const temperatureK = random.between(276.5, 299.5);
  const pressurePa = random.between(94e3, 101.5e3);
  const relativeHumidity = random.between(0.25, 0.9);
  const [warm, press, damp] = [wander(0.6), wander(60), wander(0.03)];
  return {
    at: (timeS) => moistAir(temperatureK + warm(timeS), pressurePa + press(timeS), relativeHumidity + damp(timeS)),
    tailwindMps: drawWind(seed),
  };
}
