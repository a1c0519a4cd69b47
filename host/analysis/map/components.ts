import { linearGaussian } from '../../metrology/index.ts';
import type { MapComponent } from './fitted-map.ts';
import { HYPOTHESES } from './hypotheses.ts';
import type { LinearShot } from './linearised.ts';

/** A hypothesis that counts less than this is dropped. */
const WEIGHT_MIN = 2e-3;
/** Of all hypotheses with a remainder together: below it the launch model stands alone. */
export const REMAINDER_DOUBT = 0.05;

export const componentRow = (amplitude: number, byZ: readonly number[], remainder: readonly number[]): readonly number[] => [
  ...byZ,
  ...remainder.map((wave) => amplitude * wave),
];

/** However little a valve matters at a shot, something else scatters too. */
const QUIETEST = 0.3;

/** Of one shot there, relative to the velocity, k = 1. @param byZ  its slopes, of which the first is by the valve */
export function scatterAt({ scatter, valveSlope }: Pick<MapComponent, 'scatter' | 'valveSlope'>, byZ: readonly number[]): number {
  return valveSlope === undefined ? scatter : scatter * Math.max(Math.abs(byZ[0] as number) / valveSlope, QUIETEST);
}

/** Each hypothesis under the shots, with its share of the belief; the shares add up to 1. */
export function weighHypotheses(shots: readonly LinearShot[], z: readonly number[]): readonly MapComponent[] {
  // About z: what was observed is what the linear part alone has to explain.
  const observed = shots.map(({ logVelocity, modelled, byZ }) => logVelocity - modelled + dot(byZ, z));
  const slopes = shots.map(({ byZ }) => Math.abs(byZ[0] as number)).toSorted((a, b) => a - b);
  const middle = slopes[Math.floor(slopes.length / 2)] ?? 0;
  const all = HYPOTHESES.map(({ scatter, source, amplitude, logPrior }) => {
    const valveSlope = source === 'valve' && middle > 0 ? { valveSlope: middle } : {};
    const rows = shots.map(({ byZ, remainder }) => componentRow(amplitude, byZ, remainder));
    const posterior = linearGaussian(
      rows,
      observed,
      shots.map(({ ownVariance, byZ }) => ownVariance + scatterAt({ scatter, ...valveSlope }, byZ) ** 2),
    );
    return { scatter, ...valveSlope, amplitude, posterior, logWeight: logPrior + posterior.logEvidence };
  });
  const most = Math.max(...all.map(({ logWeight }) => logWeight));
  const weighed = all.map(({ logWeight, ...rest }) => ({ ...rest, weight: Math.exp(logWeight - most) }));
  const asked = remainderProbability(weighed) >= REMAINDER_DOUBT ? weighed : weighed.filter(({ amplitude }) => amplitude === 0);
  const total = sumOf(asked);
  const kept = asked.filter(({ weight }) => weight >= WEIGHT_MIN * total);
  return kept.map((component) => ({ ...component, weight: component.weight / sumOf(kept) }));
}

/** How far the shots ask for a remainder, 0 to 1; half beforehand. */
export function remainderProbability(components: readonly { readonly weight: number; readonly amplitude: number }[]): number {
  return sumOf(components.filter(({ amplitude }) => amplitude > 0)) / sumOf(components);
}

const sumOf = (parts: readonly { readonly weight: number }[]): number => parts.reduce((sum, { weight }) => sum + weight, 0);

export const dot = (a: readonly number[], b: readonly number[]): number => {
  let sum = 0;
  for (let i = 0; i < b.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
};
