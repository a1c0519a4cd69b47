/** Where a ball is at given times, seen from a camera's side: the gates' flight, turned about from times at places. */

import type { RigSummary, ShotAir } from '../../../protocol/index.ts';
import { type Estimate, input } from '../../metrology/index.ts';
import {
  type Drag,
  dynamicViscosityPaS,
  type FlightSteps,
  flightSteps,
  flyInSteps,
  type Passage,
  referenceSphereDrag,
} from '../../physics/index.ts';
import { estimateOf } from './estimate-of.ts';

export interface FlightInputs {
  readonly densityKgM3: number;
  readonly massKg: number;
  readonly diameterM: number;
  readonly speedOfSoundMps: number;
  readonly tailwindMps: number;
}

export interface Launched {
  readonly muzzleMps: number;
  /** Relative departure from the published curve of a smooth sphere. */
  readonly dragScale: number;
}

/** Between two of them the place is a cubic of time: some hundredths of a micrometre off. */
const NODES = 24;
const STEP_ERROR = 1e-9;
/** Of the stretch that the camera sees, on both sides of it: a search may start from a wrong speed. */
const MARGIN = 0.3;
/** What an earlier version's rig did not claim. */
const UNKNOWN_SHARE = 0.002;

export class CameraFlight {
  readonly estimates: Readonly<Record<keyof FlightInputs, Estimate>>;
  readonly known: FlightInputs;
  /** k = 1, of the published curve at the speed of the flight. */
  readonly dragScaleStandardUncertainty: number;
  readonly #viscosityPaS: number;
  readonly #startMps: number;
  readonly #nodesM: readonly number[];
  readonly #steps: FlightSteps;
  #last: (Launched & { readonly flown: FlightInputs; readonly passages: readonly Passage[] }) | undefined;

  /** @param seen  the stretch of the flight line that the track covers, m from the datum; speed there, m/s, > 0 */
  constructor(rig: RigSummary, air: ShotAir, seen: { readonly fromM: number; readonly toM: number; readonly speedMps: number }) {
    this.estimates = estimatesOf(rig, air);
    this.known = {
      densityKgM3: this.estimates.densityKgM3.value,
      massKg: this.estimates.massKg.value,
      diameterM: this.estimates.diameterM.value,
      speedOfSoundMps: this.estimates.speedOfSoundMps.value,
      tailwindMps: this.estimates.tailwindMps.value,
    };
    const { temperatureK, pressurePa, relativeHumidity } = air;
    // An assumed air may lie where there is none; the viscosity bears on the drag's Reynolds number alone.
    this.#viscosityPaS = dynamicViscosityPaS({
      temperatureK: Math.min(335, Math.max(200, temperatureK.value)),
      pressurePa: Math.max(20e3, pressurePa.value),
      relativeHumidity: Math.min(1, Math.max(0, relativeHumidity.value)),
    });
    this.dragScaleStandardUncertainty = this.#curve(
      Math.abs(seen.speedMps - this.known.tailwindMps),
      this.known,
    ).relativeStandardUncertainty;
    this.#startMps = seen.speedMps;
    const marginM = MARGIN * (seen.toM - seen.fromM);
    const fromM = Math.max(0, seen.fromM - marginM);
    const stepM = (seen.toM + marginM - fromM) / (NODES - 1);
    this.#nodesM = Array.from({ length: NODES }, (_, i) => fromM + i * stepM);
    this.#steps = this.stepsTo(this.#nodesM);
  }

  /** For `passagesAt`: laid down once, so that what comes of it changes smoothly. */
  stepsTo(placesM: readonly number[]): FlightSteps {
    return flightSteps(this.#startMps, placesM, this.#drag(0, this.known), STEP_ERROR);
  }

  /** Times since the muzzle datum, and speeds. */
  passagesAt(steps: FlightSteps, { muzzleMps, dragScale }: Launched, flown: FlightInputs): readonly Passage[] {
    return flyInSteps(muzzleMps, steps, this.#drag(dragScale, flown));
  }

  /** @returns where the ball is so long after it left the muzzle datum; beyond what the camera sees, at a steady speed */
  placesAt(launched: Launched, flown: FlightInputs): (timeS: number) => number {
    const passages = this.#nodesPassed(launched, flown);
    const node = (i: number): Passage & { readonly placeM: number } => ({ ...(passages[i] as Passage), placeM: this.#nodesM[i] as number });
    return (timeS) => {
      let next = passages.findIndex((passage) => passage.timeS >= timeS);
      if (next < 0) next = passages.length;
      if (next === 0 || next === passages.length) {
        const end = node(next === 0 ? 0 : passages.length - 1);
        return end.placeM + end.velocityMps * (timeS - end.timeS);
      }
      return hermite(node(next - 1), node(next), timeS);
    };
  }

  /** Most of what a search tries changes the picture and not the flight. */
  #nodesPassed({ muzzleMps, dragScale }: Launched, flown: FlightInputs): readonly Passage[] {
    const last = this.#last;
    if (last && last.muzzleMps === muzzleMps && last.dragScale === dragScale && last.flown === flown) return last.passages;
    const passages = this.passagesAt(this.#steps, { muzzleMps, dragScale }, flown);
    this.#last = { muzzleMps, dragScale, flown, passages };
    return passages;
  }

  #drag(dragScale: number, flown: FlightInputs): Drag {
    return {
      retardationPerM: (flown.densityKgM3 * Math.PI * flown.diameterM ** 2) / (8 * flown.massKg),
      tailwindMps: flown.tailwindMps,
      coefficientAt: (airspeedMps) => (1 + dragScale) * this.#curve(airspeedMps, flown).dragCoefficient,
    };
  }

  #curve(airspeedMps: number, flown: FlightInputs) {
    // A search that has gone astray may ask for anything.
    const mach = Math.min(10, Math.max(0, airspeedMps / flown.speedOfSoundMps));
    const reynolds = Math.max(1e3, (flown.densityKgM3 * airspeedMps * flown.diameterM) / this.#viscosityPaS);
    return referenceSphereDrag({ mach, reynolds });
  }
}

function estimatesOf({ projectile, claims }: RigSummary, air: ShotAir): CameraFlight['estimates'] {
  const { massKg, diameterM } = projectile;
  return {
    densityKgM3: estimateOf(air.densityKgM3),
    massKg: input('projectile mass', 'kg', { value: massKg, standardUncertainty: claims?.massKg ?? UNKNOWN_SHARE * massKg }),
    diameterM: input('projectile diameter', 'm', { value: diameterM, standardUncertainty: claims?.diameterM ?? UNKNOWN_SHARE * diameterM }),
    speedOfSoundMps: estimateOf(air.speedOfSoundMps),
    tailwindMps: input('wind along the range', 'm/s', air.tailwindMps),
  };
}

/** The cubic that has both places and both speeds. */
function hermite(a: Passage & { readonly placeM: number }, b: Passage & { readonly placeM: number }, timeS: number): number {
  const lengthS = b.timeS - a.timeS;
  const s = (timeS - a.timeS) / lengthS;
  const [s2, s3] = [s * s, s * s * s];
  return (
    (2 * s3 - 3 * s2 + 1) * a.placeM +
    (s3 - 2 * s2 + s) * lengthS * a.velocityMps +
    (3 * s2 - 2 * s3) * b.placeM +
    (s3 - s2) * lengthS * b.velocityMps
  );
}
