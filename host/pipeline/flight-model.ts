/** The flight that the gates are held against: which air and ball, and what is known of the drag beforehand. */
import { type Estimate, input, type Parameter } from '../metrology/index.ts';
import { type Drag, flightSteps, flyInSteps, type Passage, type ReferenceDrag, referenceSphereDrag } from '../physics/index.ts';
import type { Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';

/** What the flight depends on besides its own parameters. */
export interface FlightInputs {
  readonly densityKgM3: number;
  readonly massKg: number;
  readonly diameterM: number;
  readonly speedOfSoundMps: number;
  readonly tailwindMps: number;
}

export type FlightEstimates = Readonly<Record<keyof FlightInputs, Estimate>>;

/** How well the slope of a published drag curve is known, per unit of Mach: a part of its own slope and a floor. */
const SLOPE_SHARE = 0.3;
const SLOPE_FLOOR_PER_MACH = 0.3;
/** How well its bend over the speeds of one flight is known: a part of its own bend, and a floor per unit of Mach. */
const SHAPE_SHARE = 0.3;
const SHAPE_FLOOR_PER_MACH = 0.1;
/** For numerical derivatives, of a departure's own uncertainty: the curve's rise is so steep that more would be another flight. */
const STEP_SHARE = 0.1;
/** Relative, of a step of flight: thirty steps of that are 1e-9 s of 0.03 s, a hundredth of a tick. */
const STEP_ERROR = 1e-9;
/** Between the nodes of the tabulated curve. */
const NODE_MACH = 0.004;
const MACH_MAX = 10;

/**
 * What is known of the drag beforehand: a published curve, and how far the ball's own may depart from it. The departures
 * are judgement: published curves differ from each other by about so much.
 */
export interface DragPrior {
  readonly machReference: number;
  /** About half the Mach number lost between muzzle and target. */
  readonly machHalfSpan: number;
  readonly scaleStandardUncertainty: number;
  readonly slopeStandardUncertaintyPerMach: number;
  readonly shapeStandardUncertainty: number;
}

/** The ball's departure from the published curve. */
export interface DragDeparture {
  /** Relative. */
  readonly scale: number;
  /** Growing with Mach, from the reference on, per unit of Mach. */
  readonly slope: number;
  /** Bend over one flight: so much less in its middle, so much more at its ends. */
  readonly shape: number;
}

export const NO_DEPARTURE: DragDeparture = { scale: 0, slope: 0, shape: 0 };

/** @returns the drag coefficient of the departed curve at a Mach number where `coefficient` is the published one's */
export function departing(prior: DragPrior, { scale, slope, shape }: DragDeparture): (mach: number, coefficient: number) => number {
  const { machReference, machHalfSpan } = prior;
  return (mach, coefficient) => {
    const away = mach - machReference;
    const part = away / machHalfSpan;
    const squared = part * part;
    // -1 in the middle and 1 at both ends, like a parabola; bounded beyond, so that it cannot run away while the fit is searching.
    return (1 + scale) * coefficient + slope * away + (shape * (3 * squared - 1)) / (1 + squared);
  };
}

export type FlightAlong = (velocityMps: number, departure: DragDeparture, flown: FlightInputs) => readonly Passage[];

export class FlightModel {
  readonly estimates: FlightEstimates;
  readonly known: FlightInputs;
  readonly prior: DragPrior;
  readonly #velocityMps: number;
  readonly #curve: (mach: number) => number;

  /** @param velocityMps  mean over the ground between the gates, > 0 */
  constructor(rig: Rig, air: AirEstimates, velocityMps: number) {
    this.#velocityMps = velocityMps;
    this.estimates = flightEstimates(rig, air);
    this.known = valuesOf(this.estimates);
    const machReference = Math.abs(velocityMps - this.known.tailwindMps) / this.known.speedOfSoundMps;
    const curve = curveAt(machReference, this.known, air.viscosityPaS.value);
    const lostPerM = retardationPerM(this.known) * curve.dragCoefficient;
    const machHalfSpan = Math.max(1e-4, 0.5 * machReference * lostPerM * rig.targetPositionM.value);
    this.#curve = tabulate(this.known, air.viscosityPaS.value);
    // Over the speeds of the whole flight: the curve's own little bends at one speed say nothing of what is known of it.
    const [slow, middle, fast] = [-1, 0, 1].map((part) => this.#curve(machReference + part * machHalfSpan)) as [number, number, number];
    const steepness = (Math.abs(fast - middle) + Math.abs(middle - slow)) / (2 * machHalfSpan);
    const bend = fast + slow - 2 * middle;
    this.prior = {
      machReference,
      machHalfSpan,
      scaleStandardUncertainty: curve.relativeStandardUncertainty,
      slopeStandardUncertaintyPerMach: SLOPE_FLOOR_PER_MACH + SLOPE_SHARE * steepness,
      shapeStandardUncertainty: SHAPE_FLOOR_PER_MACH * machHalfSpan + (SHAPE_SHARE * Math.abs(bend)) / 4,
    };
  }

  /** At the reference Mach number. */
  dragCoefficient(departure: DragDeparture): number {
    return departing(this.prior, departure)(this.prior.machReference, this.#curve(this.prior.machReference));
  }

  /** Flights past these places, all in the steps that one on the reference curve would take. */
  along(positionsM: readonly number[]): FlightAlong {
    const steps = flightSteps(this.#velocityMps, positionsM, this.#drag(NO_DEPARTURE, this.known), STEP_ERROR);
    return (velocityMps, departure, flown) => flyInSteps(velocityMps, steps, this.#drag(departure, flown));
  }

  #drag(departure: DragDeparture, flown: FlightInputs): Drag {
    const coefficient = departing(this.prior, departure);
    const curve = this.#curve;
    const { speedOfSoundMps, tailwindMps } = flown;
    return {
      retardationPerM: retardationPerM(flown),
      tailwindMps,
      coefficientAt: (airspeedMps) => {
        const mach = airspeedMps / speedOfSoundMps;
        return coefficient(mach, curve(mach));
      },
    };
  }

  /** Muzzle time, muzzle velocity, and the three departures from the drag curve. */
  parameters(startTimeS: number, startVelocityMps: number): readonly Parameter[] {
    const nothing = { value: 0, standardUncertainty: Number.POSITIVE_INFINITY };
    const departure = (name: string, standardUncertainty: number): Parameter => {
      return { name, unit: '1', start: 0, prior: { value: 0, standardUncertainty }, step: STEP_SHARE * standardUncertainty };
    };
    const { scaleStandardUncertainty, slopeStandardUncertaintyPerMach, shapeStandardUncertainty } = this.prior;
    return [
      { name: 'muzzle time', unit: 's', start: startTimeS, prior: nothing, step: 1e-6 },
      { name: 'muzzle velocity', unit: 'm/s', start: startVelocityMps, prior: nothing, step: 1e-4 * startVelocityMps },
      departure('drag curve, scale', scaleStandardUncertainty),
      departure('drag curve, slope with Mach', slopeStandardUncertaintyPerMach),
      departure('drag curve, shape', shapeStandardUncertainty),
    ];
  }
}

/** Expected relative loss of speed per metre, for the search among edges. */
export function expectedDecayPerM(rig: Rig, air: AirEstimates): (velocityMps: number) => number {
  const known = valuesOf(flightEstimates(rig, air));
  return (velocity) => retardationPerM(known) * curveAt(velocity / known.speedOfSoundMps, known, air.viscosityPaS.value).dragCoefficient;
}

export function flightEstimates(rig: Rig, air: AirEstimates): FlightEstimates {
  return {
    densityKgM3: air.densityKgM3,
    massKg: input('projectile mass', 'kg', rig.projectile.massKg),
    diameterM: input('projectile diameter', 'm', rig.projectile.diameterM),
    speedOfSoundMps: air.speedOfSoundMps,
    tailwindMps: air.tailwindMps,
  };
}

const valuesOf = (estimates: FlightEstimates): FlightInputs => ({
  densityKgM3: estimates.densityKgM3.value,
  massKg: estimates.massKg.value,
  diameterM: estimates.diameterM.value,
  speedOfSoundMps: estimates.speedOfSoundMps.value,
  tailwindMps: estimates.tailwindMps.value,
});

const retardationPerM = (flown: FlightInputs): number => (flown.densityKgM3 * Math.PI * flown.diameterM ** 2) / (8 * flown.massKg);

const reynoldsAt = (mach: number, flown: FlightInputs, viscosityPaS: number): number =>
  (flown.densityKgM3 * mach * flown.speedOfSoundMps * flown.diameterM) / viscosityPaS;

const curveAt = (mach: number, flown: FlightInputs, viscosityPaS: number): ReferenceDrag =>
  referenceSphereDrag({ mach, reynolds: Math.max(1e3, reynoldsAt(mach, flown, viscosityPaS)) });

/**
 * The curve in this air, from nodes that are worked out as flights come by them: the fit looks it up some ten thousand
 * times, within a tenth of Mach mostly. A cubic through four nodes (Catmull–Rom) keeps within 2e-3 of the curve at its
 * steepest and 2e-5 elsewhere, a tenth of what is claimed of it.
 */
function tabulate(known: FlightInputs, viscosityPaS: number): (mach: number) => number {
  const nodes = new Map<number, number>();
  const node = (index: number): number => {
    let value = nodes.get(index);
    if (value === undefined) {
      value = curveAt(Math.min(MACH_MAX, Math.max(0, index * NODE_MACH)), known, viscosityPaS).dragCoefficient;
      nodes.set(index, value);
    }
    return value;
  };
  // The cubic of the last place asked for: a flight asks for neighbours one after the other.
  let last = Number.NaN;
  let [c0, c1, c2, c3] = [0, 0, 0, 0];
  return (mach) => {
    // A search that has gone astray may ask for anything; it is told that this leads nowhere.
    if (!Number.isFinite(mach)) return Number.NaN;
    const index = Math.floor(mach / NODE_MACH);
    if (index !== last) {
      const [a, b, c, d] = [node(index - 1), node(index), node(index + 1), node(index + 2)];
      [c0, c1, c2, c3] = [b, (c - a) / 2, a - 2.5 * b + 2 * c - d / 2, (3 * (b - c) + d - a) / 2];
      last = index;
    }
    const s = mach / NODE_MACH - index;
    return c0 + s * (c1 + s * (c2 + s * c3));
  };
}
