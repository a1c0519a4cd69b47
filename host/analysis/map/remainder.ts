/**
 * What the launch model leaves: a smooth function of fill and barrel pressure, small and of few waves, with a prior by
 * which the shots must ask for it. A Gaussian process of squared-exponential kernel on a fixed domain, written as a sum
 * of the domain's own waves. Source: A. Solin and S. Särkkä, "Hilbert space methods for reduced-rank Gaussian process
 * regression", Statistics and Computing 30 (2020) 419 (from memory).
 */
import type { FiringConditions } from './launcher-setup.ts';
import type { MapLimits } from './map-shot.ts';

/** In units of the domain: the root of the fill over the limit's, which spreads velocities evenly; barrel over ambient pressure. */
const LENGTH = { fill: 0.3, barrel: 0.6 };
const WAVES = { fill: 5, barrel: 3 };
/** Half the domain's width with its margin: at its ends every wave is 0. */
const HALF = 0.65;

export const REMAINDER_SIZE = WAVES.fill * WAVES.barrel;

/** 0 to 1 over what may be asked for. */
export function placeOf(
  { reservoirPressurePa, barrelPressurePa }: FiringConditions,
  limits: MapLimits,
): readonly [fill: number, barrel: number] {
  return [
    Math.sqrt(Math.max(reservoirPressurePa, 0) / limits.reservoirPressurePaMax),
    Math.min(barrelPressurePa / limits.ambientPressurePa, 1.1),
  ];
}

/** One row: times the amplitude and standard normal weights it gives the remainder, relative to the velocity. */
export function remainderRow(firing: FiringConditions, limits: MapLimits): readonly number[] {
  const [fill, barrel] = placeOf(firing, limits);
  const along = waves(fill, WAVES.fill, LENGTH.fill);
  const across = waves(barrel, WAVES.barrel, LENGTH.barrel);
  return along.flatMap((a) => across.map((b) => a * b));
}

/** Each wave times the root of its spectral density. */
function waves(place: number, count: number, length: number): readonly number[] {
  return Array.from({ length: count }, (_, k) => {
    const frequency = (Math.PI * (k + 1)) / (2 * HALF);
    const density = Math.sqrt(2 * Math.PI) * length * Math.exp(-0.5 * (length * frequency) ** 2);
    return Math.sqrt(density / HALF) * Math.sin(frequency * (place - 0.5 + HALF));
  });
}
