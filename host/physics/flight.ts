/**
 * Flight of a ball along the range: drag only, along one line. Gravity bends the path by millimetres over ten metres
 * (d = g x²/2v²: 12 mm at 200 m/s), which lengthens it by less than 2 parts in a million.
 */

export interface Drag {
  /** ρA/2m, 1/m: deceleration per drag coefficient and airspeed squared. */
  readonly retardationPerM: number;
  /** Drag coefficient at an airspeed, m/s. */
  readonly coefficientAt: (airspeedMps: number) => number;
  /** Along the flight, m/s: positive from behind. */
  readonly tailwindMps?: number;
}

export interface Passage {
  readonly timeS: number;
  readonly velocityMps: number;
}

/** Of speed and of time, relative, that a step of `fly` may be wrong by, as its two orders tell. */
const STEP_ERROR = 1e-12;
const STEP_M_MAX = 4;
/** A step that must be shorter than this stands before a ball that has all but stopped. */
const STEP_M_MIN = 1e-6;
/** A new step aims this far below the error allowed, and changes by no more than these factors. */
const STEP_SAFETY = 0.9;
const STEP_FACTORS = { least: 0.2, most: 5 };

/** How far each place is from the one before, in the steps that lead there, m. */
export type FlightSteps = readonly (readonly number[])[];

/** Written anew at every step: a flight is taken some hundred times for one shot. */
interface Ball {
  timeS: number;
  velocityMps: number;
  /** dv/dx here, 1/s. */
  slope: number;
}

const NEVER: Passage = { timeS: Number.POSITIVE_INFINITY, velocityMps: 0 };

/**
 * When and how fast a ball passes each place.
 * @param positionsM  ascending, ≥ 0, from the muzzle datum
 * @param muzzleVelocityMps  at the datum at time 0, > 0
 * @returns one passage a place; velocity 0 and time Infinity where the ball does not get so far
 * dv/dx = −k·C·(v−w)|v−w|/v and dt/dx = 1/v by a pair of Runge–Kutta formulas of fifth and fourth order, whose
 * difference sets the step. Source: Dormand & Prince, J. Comput. Appl. Math. 6 (1980) 19–26, table 2, RK5(4)7M.
 */
export function fly(muzzleVelocityMps: number, positionsM: readonly number[], drag: Drag): readonly Passage[] {
  return march(muzzleVelocityMps, positionsM, { drag, stepError: STEP_ERROR }, () => {});
}

/**
 * The steps that a flight needs, for flights so like it that they need no others.
 * @param stepError  relative, of speed and of time, that each step may be wrong by
 */
export function flightSteps(muzzleVelocityMps: number, positionsM: readonly number[], drag: Drag, stepError: number): FlightSteps {
  const steps = positionsM.map((): number[] => []);
  march(muzzleVelocityMps, positionsM, { drag, stepError }, (place, lengthM) => steps[place]?.push(lengthM));
  return steps;
}

/**
 * As `fly`, by steps laid down beforehand: times and speeds then change smoothly with everything they depend on, which
 * numerical derivatives need. With no step to a place, the ball is taken never to get there.
 */
export function flyInSteps(muzzleVelocityMps: number, steps: FlightSteps, drag: Drag): readonly Passage[] {
  const slopeAt = slopeOf(drag);
  let at: Ball = { timeS: 0, velocityMps: muzzleVelocityMps, slope: slopeAt(muzzleVelocityMps) };
  let next: Ball = { ...at };
  let flies = true;
  return steps.map((lengths) => {
    for (const lengthM of lengths) {
      flies &&= Number.isFinite(step(at, lengthM, slopeAt, next));
      [at, next] = [next, at];
    }
    return flies ? { timeS: at.timeS, velocityMps: at.velocityMps } : NEVER;
  });
}

function march(
  muzzleVelocityMps: number,
  positionsM: readonly number[],
  { drag, stepError }: { readonly drag: Drag; readonly stepError: number },
  onStep: (place: number, lengthM: number) => void,
): readonly Passage[] {
  const slopeAt = slopeOf(drag);
  let at: Ball = { timeS: 0, velocityMps: muzzleVelocityMps, slope: slopeAt(muzzleVelocityMps) };
  let next: Ball = { ...at };
  let xM = 0;
  let stepM = STEP_M_MAX;
  let flies = true;
  return positionsM.map((position, place) => {
    while (flies && xM < position) {
      const lengthM = Math.min(stepM, position - xM);
      const error = step(at, lengthM, slopeAt, next);
      const factor = error > 0 ? STEP_SAFETY * (stepError / error) ** 0.2 : STEP_FACTORS.most;
      const wantedM = lengthM * Math.min(STEP_FACTORS.most, Math.max(STEP_FACTORS.least, factor));
      if (error <= stepError) {
        onStep(place, lengthM);
        xM = lengthM === position - xM ? position : xM + lengthM;
        // What was cut short to end at a gate says nothing against longer steps behind it.
        stepM = Math.min(STEP_M_MAX, lengthM < stepM ? Math.max(stepM, wantedM) : wantedM);
        [at, next] = [next, at];
      } else if (lengthM > STEP_M_MIN) stepM = Math.max(STEP_M_MIN, Number.isFinite(wantedM) ? wantedM : lengthM * STEP_FACTORS.least);
      else flies = false;
    }
    return flies ? { timeS: at.timeS, velocityMps: at.velocityMps } : NEVER;
  });
}

function slopeOf({ retardationPerM, coefficientAt, tailwindMps = 0 }: Drag): (v: number) => number {
  return (v) => {
    const airspeed = v - tailwindMps;
    const size = Math.abs(airspeed);
    return (-retardationPerM * coefficientAt(size) * airspeed * size) / v;
  };
}

/** One step of length h. @returns its relative error, of speed or of time, whichever is more; infinite before a standstill */
function step(from: Ball, h: number, slopeAt: (v: number) => number, to: Ball): number {
  const { velocityMps: v, slope: k1 } = from;
  const v2 = v + h * (k1 / 5);
  const k2 = slopeAt(v2);
  const v3 = v + h * ((3 / 40) * k1 + (9 / 40) * k2);
  const k3 = slopeAt(v3);
  const v4 = v + h * ((44 / 45) * k1 - (56 / 15) * k2 + (32 / 9) * k3);
  const k4 = slopeAt(v4);
  const v5 = v + h * ((19372 / 6561) * k1 - (25360 / 2187) * k2 + (64448 / 6561) * k3 - (212 / 729) * k4);
  const k5 = slopeAt(v5);
  const v6 = v + h * ((9017 / 3168) * k1 - (355 / 33) * k2 + (46732 / 5247) * k3 + (49 / 176) * k4 - (5103 / 18656) * k5);
  const k6 = slopeAt(v6);
  const v7 = v + h * fifth(k1, k3, k4, k5, k6);
  const k7 = slopeAt(v7);
  if (!(v2 > 0 && v3 > 0 && v4 > 0 && v5 > 0 && v6 > 0 && v7 > 0)) return Number.POSITIVE_INFINITY;
  to.timeS = from.timeS + h * fifth(1 / v, 1 / v3, 1 / v4, 1 / v5, 1 / v6);
  to.velocityMps = v7;
  to.slope = k7;
  const error = h * Math.abs(off(k1, k3, k4, k5, k6, k7));
  const errorS = h * Math.abs(off(1 / v, 1 / v3, 1 / v4, 1 / v5, 1 / v6, 1 / v7));
  return Math.max(error / v7, errorS / to.timeS);
}

/** Mean slope of the fifth-order formula. */
const fifth = (k1: number, k3: number, k4: number, k5: number, k6: number): number =>
  (35 / 384) * k1 + (500 / 1113) * k3 + (125 / 192) * k4 - (2187 / 6784) * k5 + (11 / 84) * k6;

/** The fifth-order formula's mean slope less the fourth-order one's. */
const off = (k1: number, k3: number, k4: number, k5: number, k6: number, k7: number): number =>
  (71 / 57600) * k1 - (71 / 16695) * k3 + (71 / 1920) * k4 - (17253 / 339200) * k5 + (22 / 525) * k6 - (1 / 40) * k7;
