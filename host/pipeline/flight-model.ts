/** The flight that the gates are held against: which air and ball, and what is known of the drag beforehand. */
import { type Estimate, input, type Parameter } from '../metrology/index.ts';
import { type Drag, fly, monotoneCubic, type Passage, type ReferenceDrag, referenceSphereDrag } from '../physics/index.ts';
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
/** How far above the mean speed between the gates a muzzle velocity may be looked for. */
const CURVE_REACH = 1.6;
const CURVE_NODES = 240;

export interface DragPrior {
  readonly machReference: number;
  readonly scaleStandardUncertainty: number;
  readonly slopeStandardUncertaintyPerMach: number;
}

export class FlightModel {
  readonly estimates: FlightEstimates;
  readonly known: FlightInputs;
  readonly prior: DragPrior;
  readonly reynoldsReference: number;
  readonly #curve: (mach: number) => number;

  /** @param velocityMps  mean over the ground between the gates, > 0 */
  constructor(rig: Rig, air: AirEstimates, velocityMps: number) {
    this.estimates = flightEstimates(rig, air);
    this.known = valuesOf(this.estimates);
    const machReference = Math.abs(velocityMps - this.known.tailwindMps) / this.known.speedOfSoundMps;
    const curve = curveAt(machReference, this.known, air.viscosityPaS);
    this.prior = {
      machReference,
      scaleStandardUncertainty: curve.relativeStandardUncertainty,
      slopeStandardUncertaintyPerMach: SLOPE_FLOOR_PER_MACH + SLOPE_SHARE * Math.abs(curve.slopePerMach),
    };
    this.reynoldsReference = reynoldsAt(machReference, this.known, air.viscosityPaS);
    this.#curve = tabulate(this.known, air.viscosityPaS, CURVE_REACH * machReference);
  }

  /** Of the published curve, at the reference Mach number. */
  get dragCoefficientReference(): number {
    return this.#curve(this.prior.machReference);
  }

  /** @param scale  relative departure from the curve; slope  departure growing with Mach, from the reference on */
  flight(velocityMps: number, scale: number, slope: number, flown: FlightInputs, positionsM: readonly number[]): readonly Passage[] {
    const drag: Drag = {
      retardationPerM: retardationPerM(flown),
      tailwindMps: flown.tailwindMps,
      coefficientAt: (airspeedMps) => {
        const mach = airspeedMps / flown.speedOfSoundMps;
        return (1 + scale) * this.#curve(mach) + slope * (mach - this.prior.machReference);
      },
    };
    return fly(velocityMps, positionsM, drag);
  }

  /** Muzzle time, muzzle velocity, and the two departures from the drag curve. */
  parameters(startTimeS: number, startVelocityMps: number): readonly Parameter[] {
    const nothing = { value: 0, standardUncertainty: Number.POSITIVE_INFINITY };
    const around = (standardUncertainty: number) => ({ value: 0, standardUncertainty });
    const { scaleStandardUncertainty, slopeStandardUncertaintyPerMach } = this.prior;
    return [
      { name: 'muzzle time', unit: 's', start: startTimeS, prior: nothing, step: 1e-6 },
      { name: 'muzzle velocity', unit: 'm/s', start: startVelocityMps, prior: nothing, step: 1e-3 * startVelocityMps },
      { name: 'drag curve, scale', unit: '1', start: 0, prior: around(scaleStandardUncertainty), step: 1e-2 },
      { name: 'drag curve, slope with Mach', unit: '1', start: 0, prior: around(slopeStandardUncertaintyPerMach), step: 1e-2 },
    ];
  }
}

/** Expected relative loss of speed per metre, for the search among edges. */
export function expectedDecayPerM(rig: Rig, air: AirEstimates): (velocityMps: number) => number {
  const known = valuesOf(flightEstimates(rig, air));
  return (velocity) => retardationPerM(known) * curveAt(velocity / known.speedOfSoundMps, known, air.viscosityPaS).dragCoefficient;
}

function flightEstimates(rig: Rig, air: AirEstimates): FlightEstimates {
  return {
    densityKgM3: air.densityKgM3,
    massKg: input('projectile mass', 'kg', rig.projectile.massKg),
    diameterM: input('projectile diameter', 'm', rig.projectile.diameterM),
    speedOfSoundMps: air.speedOfSoundMps,
    tailwindMps: input('wind along the range', 'm/s', rig.tailwindMps),
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
 * The curve in this air over the speeds that a flight can see, as a table: the fit looks it up some ten thousand times.
 * 240 nodes keep within 1e-4 of the curve, a hundredth of what is claimed of it.
 */
function tabulate(known: FlightInputs, viscosityPaS: number, machMax: number): (mach: number) => number {
  const machs = Array.from({ length: CURVE_NODES }, (_, i) => ((i + 1) / CURVE_NODES) * machMax);
  const curve = monotoneCubic(
    machs,
    machs.map((mach) => curveAt(mach, known, viscosityPaS).dragCoefficient),
  );
  return (mach) => curve(mach).value;
}
