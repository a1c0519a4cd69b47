/** Wind along the range, positive from behind: a mean for the session, and gusts of some seconds about it. No pace hurries it. */
import { HERON } from './heron.ts';
import { randomStream } from './random.ts';

/** Of the standard uncertainty that the rig file claims for a wind that nobody measures: 0.8² + 0.6² = 1. */
const MEAN_SHARE = 0.8;
const GUST_SHARE = 0.6;
const GUSTS = 3;
const GUST_PERIOD_S = [3, 9] as const;

export function drawWind(seed: number): (timeS: number) => number {
  const random = randomStream(seed, 'wind');
  const meanMps = HERON.tailwindMps + MEAN_SHARE * HERON.tailwindUncertaintyMps * random.normal();
  const amplitudeMps = GUST_SHARE * HERON.tailwindUncertaintyMps * Math.sqrt(2 / GUSTS);
  const gusts = Array.from({ length: GUSTS }, () => ({
    periodS: random.between(...GUST_PERIOD_S),
    phase: random.between(0, 2 * Math.PI),
  }));
  return (timeS) =>
    gusts.reduce((sum, { periodS, phase }) => sum + amplitudeMps * Math.sin((2 * Math.PI * timeS) / periodS + phase), meanMps);
}
