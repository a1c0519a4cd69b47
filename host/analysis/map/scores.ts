/** How each shot stands to what the others say of it, without fitting anew for each. */
import { type NormalPart, probabilityBelow, varianceAlong } from '../../metrology/index.ts';
import { componentRow, dot, scatterAt } from './components.ts';
import type { MapComponent, ShotScore } from './fitted-map.ts';
import type { LinearShot } from './linearised.ts';

/**
 * Of shots in the fit. In a linear model the prediction without a shot follows from the one with it: residual r, share h
 * of the shot in its own prediction, error r/(1−h), variance s²/(1−h); and a hypothesis counts without the shot as much
 * more as it foretold it worse.
 * Source: A. Gelman, J. Hwang, A. Vehtari, Statistics and Computing 24 (2014) 997, section 3.6 (from memory)
 */
export function leaveOneOut(shots: readonly LinearShot[], z: readonly number[], components: readonly MapComponent[]): readonly ShotScore[] {
  return shots.map((shot) => {
    const parts = components.map((component): NormalPart => {
      const { predicted, variance } = foretold(shot, z, component);
      const own = shot.ownVariance + scatterAt(component, shot.byZ) ** 2;
      const share = Math.min(variance / own, 1 - 1e-9);
      const mean = shot.logVelocity - (shot.logVelocity - predicted) / (1 - share);
      const standardDeviation = Math.sqrt(own / (1 - share));
      const density = Math.exp(-0.5 * ((shot.logVelocity - mean) / standardDeviation) ** 2) / standardDeviation;
      // A shot beyond all belief must not make one hypothesis count for everything.
      return { weight: component.weight / Math.max(density, 1e-12), mean, standardDeviation };
    });
    return scoreOf(shot, parts);
  });
}

/** Of shots that are not in the fit. */
export function scoreOutside(
  shots: readonly LinearShot[],
  z: readonly number[],
  components: readonly MapComponent[],
): readonly ShotScore[] {
  return shots.map((shot) =>
    scoreOf(
      shot,
      components.map((component) => {
        const { predicted, variance } = foretold(shot, z, component);
        return {
          weight: component.weight,
          mean: predicted,
          standardDeviation: Math.sqrt(variance + shot.ownVariance + scatterAt(component, shot.byZ) ** 2),
        };
      }),
    ),
  );
}

function foretold(shot: LinearShot, z: readonly number[], { amplitude, posterior }: MapComponent) {
  const row = componentRow(amplitude, shot.byZ, shot.remainder);
  return {
    predicted: shot.modelled - dot(shot.byZ, z) + dot(row, posterior.mean),
    variance: varianceAlong(posterior, row),
  };
}

/** Of a departure beyond what a double can tell. */
const TAIL_MIN = 1e-12;

function scoreOf(shot: LinearShot, expected: readonly NormalPart[]): ShotScore {
  const below = probabilityBelow(expected, shot.logVelocity);
  const tail = Math.max(Math.min(below, 1 - below), TAIL_MIN);
  const total = expected.reduce((sum, { weight }) => sum + weight, 0);
  const middle = expected.reduce((sum, { weight, mean }) => sum + weight * mean, 0) / total;
  return {
    id: shot.shot.id,
    departure: Math.exp(shot.logVelocity - middle) - 1,
    score: Math.sign(below - 0.5) * normalDeviate(tail),
    tailProbability: 2 * tail,
    expected: expected.map((part) => ({ ...part, weight: part.weight / total })),
  };
}

/** So far above its mean a normal deviate lies with the given probability, 0 to a half. By halving. */
export function normalDeviate(tail: number): number {
  let [low, high] = [0, 10];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (probabilityBelow([{ weight: 1, mean: 0, standardDeviation: 1 }], -middle) > tail) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
