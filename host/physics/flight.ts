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

/** Of speed and of time, relative, that a step may be wrong by, as its two orders tell. */
const STEP_ERROR = 1e-12;
const STEP_M_MAX = 4;
/** A step that must be shorter than this stands before a ball that has all but stopped. */
const STEP_M_MIN = 1e-6;
/** A new step aims this far below the error allowed, and changes by no more than these factors. */
const STEP_SAFETY = 0.9;
const STEP_FACTORS = { least: 0.2, most: 5 };

interface Place {
  readonly xM: number;
  readonly timeS: number;
  readonly velocityMps: number;
  /** dv/dx here, 1/s. */
  readonly slope: number;
}

/**
 * When and how fast a ball passes each place.
 * @param positionsM  ascending, ≥ 0, from the muzzle datum
 * @param muzzleVelocityMps  at the datum at time 0, > 0
 * @returns one passage a place; velocity 0 and time Infinity where the ball does not get so far
 * dv/dx = −k·C·(v−w)|v−w|/v and dt/dx = 1/v by a pair of Runge–Kutta formulas of fifth and fourth order, whose
 * difference sets the step. Source: Dormand & Prince, J. Comput. Appl. Math. 6 (1980) 19–26, table 2, RK5(4)7M.
 */
export function fly(muzzleVelocityMps: number, positionsM: readonly number[], drag: Drag): readonly Passage[] {
  const wind = drag.tailwindMps ?? 0;
  const slopeAt = (v: number): number => {
    const airspeed = v - wind;
    return (-drag.retardationPerM * drag.coefficientAt(Math.abs(airspeed)) * airspeed * Math.abs(airspeed)) / v;
  };
  let at: Place | undefined = { xM: 0, timeS: 0, velocityMps: muzzleVelocityMps, slope: slopeAt(muzzleVelocityMps) };
  let stepM = STEP_M_MAX;
  return positionsM.map((position) => {
    while (at !== undefined && at.xM < position) {
      const lengthM = Math.min(stepM, position - at.xM);
      const { place, error }: Stepped = stepOf(at, lengthM, slopeAt);
      const factor = error > 0 ? STEP_SAFETY * (STEP_ERROR / error) ** 0.2 : STEP_FACTORS.most;
      const next = lengthM * Math.min(STEP_FACTORS.most, Math.max(STEP_FACTORS.least, factor));
      if (error <= STEP_ERROR) {
        // What was cut short to end at a gate says nothing against longer steps behind it.
        stepM = Math.min(STEP_M_MAX, lengthM < stepM ? Math.max(stepM, next) : next);
        at = lengthM === position - at.xM ? { ...place, xM: position } : place;
      } else if (lengthM > STEP_M_MIN) stepM = Math.max(STEP_M_MIN, Number.isFinite(next) ? next : lengthM * STEP_FACTORS.least);
      else at = undefined;
    }
    return at === undefined ? { timeS: Number.POSITIVE_INFINITY, velocityMps: 0 } : { timeS: at.timeS, velocityMps: at.velocityMps };
  });
}

interface Stepped {
  readonly place: Place;
  /** Relative, of speed or of time, whichever is more; infinite where the step runs into a standstill. */
  readonly error: number;
}

function stepOf(from: Place, h: number, slopeAt: (v: number) => number): Stepped {
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
  if (!(v2 > 0 && v3 > 0 && v4 > 0 && v5 > 0 && v6 > 0 && v7 > 0)) return { place: from, error: Number.POSITIVE_INFINITY };
  const timeS = from.timeS + h * fifth(1 / v, 1 / v3, 1 / v4, 1 / v5, 1 / v6);
  const error = h * Math.abs(off(k1, k3, k4, k5, k6, k7));
  const errorS = h * Math.abs(off(1 / v, 1 / v3, 1 / v4, 1 / v5, 1 / v6, 1 / v7));
  return {
    place: { xM: from.xM + h, timeS, velocityMps: v7, slope: k7 },
    error: Math.max(error / v7, errorS / timeS),
  };
}

/** Mean slope of the fifth-order formula. */
const fifth = (k1: number, k3: number, k4: number, k5: number, k6: number): number =>
  (35 / 384) * k1 + (500 / 1113) * k3 + (125 / 192) * k4 - (2187 / 6784) * k5 + (11 / 84) * k6;

/** The fifth-order formula's mean slope less the fourth-order one's. */
const off = (k1: number, k3: number, k4: number, k5: number, k6: number, k7: number): number =>
  (71 / 57600) * k1 - (71 / 16695) * k3 + (71 / 1920) * k4 - (17253 / 339200) * k5 + (22 / 525) * k6 - (1 / 40) * k7;
