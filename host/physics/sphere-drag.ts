import { hoernerSphereDrag } from './hoerner-drag.ts';
import { smoothLothDrag } from './loth-drag.ts';
import { monotoneCubic } from './pchip.ts';
import { blend, smoothStep } from './smooth-step.ts';

export interface ReferenceDrag {
  /** On frontal area πd²/4. */
  readonly dragCoefficient: number;
  /** Per unit of Mach at constant Reynolds number. */
  readonly slopePerMach: number;
  /** Of the curve as a description of a smooth, slowly turning sphere (k = 1). */
  readonly relativeStandardUncertainty: number;
  readonly source: string;
}

/** The drag crisis of a smooth sphere, from laminar to turbulent separation. */
const CRISIS_BEGINS_RE = 3e5;
const CRISIS_ENDS_RE = 4e5;

/**
 * Half-widths of the drag coefficient, relative, by Mach; a monotone cubic between.
 *
 * Below the crisis: the spread between three published curves (Loth, Hoerner, ballistic table) is 3 % up to Mach 0.6,
 * 8–16 % from 0.7 to 1.0, 4.3 % from 1.1 to 2.0; beyond, fewer data.
 * Above it and below Mach 0.75 the drag hangs on surface and spin and rises fourfold within 0.1 Mach; there is one
 * curve only. The 30 % and 40 % are our judgement, not a published figure. Where the flow is shock-dominated the
 * two meet and the spread below the crisis is taken over.
 */
const spreadBelowCrisis = relativeSpread([
  [0.6, 0.05],
  [0.7, 0.15],
  [1.0, 0.15],
  [1.1, 0.05],
  [2.0, 0.05],
  [3.0, 0.1],
]);
const spreadAboveCrisis = relativeSpread([
  [0.6, 0.3],
  [0.66, 0.4],
  [0.72, 0.4],
  [0.78, 0.15],
  [1.0, 0.15],
  [1.1, 0.05],
  [2.0, 0.05],
  [3.0, 0.1],
]);
/** Reading error of the digitised curve, absolute half-width. */
const DIGITISED_WITHIN = 0.02;

/**
 * Drag of a smooth sphere: Loth 2021 (branch steps smoothed) up to Re 3e5, Hoerner 1965 from Re 4e5, between them a
 * smooth blend in the logarithm of Re. Value and slope are continuous in Mach and in Reynolds number.
 *
 * The uncertainty takes each half-width in the tables above as that of a rectangle (divided by √3, GUM 4.3.7), adds in
 * quadrature the reading error where the digitised curve is used, and inside the blend, where the place of the crisis
 * is anyone's guess, half the distance between the two curves.
 * @param at.mach  0 or more
 * @param at.reynolds  on the diameter, > 45
 * @throws RangeError outside these
 */
export function referenceSphereDrag(at: { readonly mach: number; readonly reynolds: number }): ReferenceDrag {
  const { mach, reynolds } = at;
  if (reynolds <= CRISIS_BEGINS_RE) {
    const { value, slope } = smoothLothDrag(at);
    return {
      dragCoefficient: value,
      slopePerMach: slope,
      relativeStandardUncertainty: spreadBelowCrisis(mach) / Math.sqrt(3),
      source: 'Loth et al. 2021',
    };
  }
  const below = smoothLothDrag(at);
  const above = hoernerSphereDrag(mach);
  const crisis = smoothStep(Math.log(reynolds), Math.log(CRISIS_BEGINS_RE), Math.log(CRISIS_ENDS_RE)).value;
  const { value, slope } = blend({ value: crisis, slope: 0 }, below, above);
  const spread = (1 - crisis) * spreadBelowCrisis(mach) + crisis * spreadAboveCrisis(mach);
  const reading = (crisis * DIGITISED_WITHIN) / value;
  // 1 in the middle of the blend, 0 at its edges.
  const undecided = 4 * crisis * (1 - crisis);
  const place = (undecided * Math.abs(above.value - below.value)) / 2 / value;
  return {
    dragCoefficient: value,
    slopePerMach: slope,
    relativeStandardUncertainty: Math.hypot(spread, reading, place) / Math.sqrt(3),
    source: crisis < 1 ? 'Loth et al. 2021, blended into Hoerner 1965' : 'Hoerner 1965',
  };
}

function relativeSpread(points: readonly (readonly [mach: number, halfWidth: number])[]): (mach: number) => number {
  const curve = monotoneCubic(
    points.map(([mach]) => mach),
    points.map(([, halfWidth]) => halfWidth),
  );
  return (mach) => curve(mach).value;
}
