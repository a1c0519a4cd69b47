/**
 * Drag of a smooth sphere above the drag crisis.
 *
 * Source: S. F. Hoerner, Fluid-Dynamic Drag (1965), ch. 16, the curve for Reynolds numbers above about 3e5, from a
 * public digitisation of the figure. Reading error about 0.02 in drag coefficient; the hump between Mach 0.72 and 0.88
 * may be the drawing more than the sphere, and is left as it was read. Above Mach 1.01 it is one with the curve for
 * lower Reynolds numbers.
 */
import { monotoneCubic, type ValueAndSlope } from './pchip.ts';

/** Mach, drag coefficient. */
const HOERNER_ABOVE_CRISIS = [
  [0.065, 0.1076],
  [0.124, 0.1076],
  [0.1752, 0.1076],
  [0.2402, 0.1076],
  [0.3051, 0.1076],
  [0.3642, 0.1116],
  [0.4311, 0.1195],
  [0.502, 0.1315],
  [0.561, 0.1474],
  [0.6122, 0.1673],
  [0.6555, 0.1952],
  [0.6713, 0.2191],
  [0.6909, 0.2709],
  [0.7008, 0.3307],
  [0.7106, 0.4263],
  [0.7146, 0.4861],
  [0.7205, 0.5697],
  [0.7323, 0.6375],
  [0.7421, 0.6693],
  [0.7539, 0.6853],
  [0.7736, 0.6853],
  [0.7933, 0.6693],
  [0.8228, 0.6255],
  [0.8445, 0.6175],
  [0.874, 0.6215],
  [0.8898, 0.6454],
  [0.9154, 0.6932],
  [0.9331, 0.7251],
  [0.9587, 0.7689],
  [0.9803, 0.8088],
  [0.998, 0.8367],
  [1.0141, 0.8213],
  [1.0876, 0.9028],
  [1.1996, 0.953],
  [1.3606, 0.9906],
  [1.5112, 1.0094],
  [1.7505, 1.0219],
  [2.0135, 1.0282],
  [2.2679, 1.0157],
  [2.6454, 0.9906],
  [3.1293, 0.9655],
  [3.5246, 0.9467],
  [4.0542, 0.9342],
  [4.7957, 0.9342],
  [5.6333, 0.9342],
  [9.861, 0.9216],
] as const;

const curve = monotoneCubic(
  HOERNER_ABOVE_CRISIS.map(([mach]) => mach),
  HOERNER_ABOVE_CRISIS.map(([, dragCoefficient]) => dragCoefficient),
);

/**
 * Drag coefficient on frontal area and its slope per Mach, for Reynolds numbers above the drag crisis.
 * Between the read points a monotone cubic; outside Mach 0.065 to 9.861 the end values are held.
 * @param mach  0 or more
 * @throws RangeError for less, or not finite
 */
export function hoernerSphereDrag(mach: number): ValueAndSlope {
  if (!(mach >= 0 && Number.isFinite(mach))) throw new RangeError(`Mach ${mach}: must be 0 or more`);
  return curve(mach);
}
