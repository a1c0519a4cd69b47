import type { FittedMap } from './fitted-map.ts';
import { HYPOTHESES } from './hypotheses.ts';
import type { MapProblem, MapShot } from './map-shot.ts';
import { layoutOf } from './parameters.ts';
import { REMAINDER_SIZE } from './remainder.ts';

/** What is believed before any shot: as wide as the priors, and enough to plan the first by. @param like  how it would be fired and read */
export function mapBefore(problem: MapProblem, like: Pick<MapShot, 'firing' | 'reservoirGauge' | 'barrelGauge'>): FittedMap {
  const { size } = layoutOf(problem);
  const all = size + REMAINDER_SIZE;
  const covariance = Array.from({ length: all }, (_, j) => Array.from({ length: all }, (_v, k) => (j === k ? 1 : 0)));
  const posterior = { mean: new Array<number>(all).fill(0), covariance, logEvidence: 0 };
  const total = HYPOTHESES.reduce((sum, { logPrior }) => sum + Math.exp(logPrior), 0);
  const { gasTemperatureK, airTemperatureK, massKg } = like.firing;
  return {
    setup: problem.setup,
    limits: problem.limits,
    problem: { ...problem, shots: [] },
    z: new Array<number>(size).fill(0),
    components: HYPOTHESES.map(({ scatter, amplitude, logPrior }) => ({
      weight: Math.exp(logPrior) / total,
      scatter,
      amplitude,
      posterior,
    })),
    shotsUsed: [],
    scores: [],
    setAside: [],
    gauges: { reservoirGauge: like.reservoirGauge, barrelGauge: like.barrelGauge },
    present: { gasTemperatureK, airTemperatureK, massKg },
  };
}
