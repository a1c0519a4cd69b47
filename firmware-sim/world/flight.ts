/** Free flight of the ball from the muzzle: drag along the path and gravity, fourth-order Runge–Kutta in time. */

/**
 * Smooth sphere, drag coefficient on πd²/4 against Mach number, Re > 3e5 (a 60 mm ball above 80 m/s).
 * Source: public digitisation of Hoerner, Fluid-Dynamic Drag (1965), ch. 16; digitising error about 0.02.
 */
const DRAG_MACH = [
  0.065, 0.124, 0.1752, 0.2402, 0.3051, 0.3642, 0.4311, 0.502, 0.561, 0.6122, 0.6555, 0.6713, 0.6909, 0.7008, 0.7106, 0.7146, 0.7205,
  0.7323, 0.7421, 0.7539, 0.7736, 0.7933, 0.8228, 0.8445, 0.874, 0.8898, 0.9154, 0.9331, 0.9587, 0.9803, 0.998, 1.0141, 1.0876, 1.1996,
  1.3606, 1.5112, 1.7505, 2.0135,
] as const;
const DRAG_CD = [
  0.1076, 0.1076, 0.1076, 0.1076, 0.1076, 0.1116, 0.1195, 0.1315, 0.1474, 0.1673, 0.1952, 0.2191, 0.2709, 0.3307, 0.4263, 0.4861, 0.5697,
  0.6375, 0.6693, 0.6853, 0.6853, 0.6693, 0.6255, 0.6175, 0.6215, 0.6454, 0.6932, 0.7251, 0.7689, 0.8088, 0.8367, 0.8213, 0.9028, 0.953,
  0.9906, 1.0094, 1.0219, 1.0282,
] as const;

const GRAVITY = 9.80665;
const STEP_S = 25e-6;

/** @param mach  > 0; held at the ends of the table */
export function sphereDragCoefficient(mach: number): number {
  const above = DRAG_MACH.findIndex((m) => m >= mach);
  if (above === 0) return DRAG_CD[0];
  if (above < 0) return DRAG_CD[DRAG_CD.length - 1] as number;
  const [m0, m1] = [DRAG_MACH[above - 1] as number, DRAG_MACH[above] as number];
  const [c0, c1] = [DRAG_CD[above - 1] as number, DRAG_CD[above] as number];
  return c0 + ((c1 - c0) * (mach - m0)) / (m1 - m0);
}

export interface FlightInput {
  readonly muzzleVelocityMps: number;
  /** Upward angle of the path at the muzzle, rad. */
  readonly elevationRad: number;
  readonly diameterM: number;
  readonly massKg: number;
  /** Factor on the drag curve. */
  readonly dragFactor: number;
  readonly densityKgM3: number;
  readonly speedOfSoundMps: number;
  /** Along the path, positive from behind. Default 0. */
  readonly tailwindMps?: number;
  /** Added to the drag coefficient at a Mach number. Default nothing. */
  readonly dragDeparture?: (mach: number) => number;
  /** How far to fly, m from the muzzle. */
  readonly distanceM: number;
}

export interface FlightPoint {
  /** Since the ball's centre passed the muzzle datum. */
  readonly timeS: number;
  /** Below the bore line is negative. */
  readonly heightM: number;
  readonly speedMps: number;
}

export interface Flight {
  /** @param positionM  of the ball's centre along the bore line, 0 to distanceM */
  at(positionM: number): FlightPoint;
}

type State = readonly [x: number, z: number, vx: number, vz: number];

/** @throws RangeError for a speed so low that the ball would not get there (caller's bug) */
export function fly(input: FlightInput): Flight {
  const k = (input.densityKgM3 * Math.PI * input.diameterM ** 2) / (8 * input.massKg);
  const derivative = ([, , vx, vz]: State): State => {
    const ax = vx - (input.tailwindMps ?? 0);
    const airspeed = Math.hypot(ax, vz);
    const mach = airspeed / input.speedOfSoundMps;
    const departure = input.dragDeparture?.(mach) ?? 0;
    const decay = k * (input.dragFactor * sphereDragCoefficient(mach) + departure) * airspeed;
    return [vx, vz, -decay * ax, -decay * vz - GRAVITY];
  };
  const plus = (s: State, d: State, h: number): State => [s[0] + h * d[0], s[1] + h * d[1], s[2] + h * d[2], s[3] + h * d[3]];
  const states: State[] = [
    [0, 0, input.muzzleVelocityMps * Math.cos(input.elevationRad), input.muzzleVelocityMps * Math.sin(input.elevationRad)],
  ];
  let state = states[0] as State;
  while (state[0] <= input.distanceM) {
    if (state[2] < 1 || states.length > 200_000)
      throw new RangeError(`ball at ${state[2]} m/s after ${state[0]} m of ${input.distanceM} m`);
    const k1 = derivative(state);
    const k2 = derivative(plus(state, k1, STEP_S / 2));
    const k3 = derivative(plus(state, k2, STEP_S / 2));
    const k4 = derivative(plus(state, k3, STEP_S));
    const sum = (i: 0 | 1 | 2 | 3): number => state[i] + (STEP_S / 6) * (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i]);
    state = [sum(0), sum(1), sum(2), sum(3)];
    states.push(state);
  }
  return { at: (positionM) => interpolate(states, positionM) };
}

/** Cubic in time between two steps, inverted for the position by Newton's method. */
function interpolate(states: readonly State[], positionM: number): FlightPoint {
  let low = 0;
  let high = states.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((states[middle] as State)[0] <= positionM) low = middle;
    else high = middle;
  }
  const [s0, s1] = [states[low] as State, states[high] as State];
  const cubic = (i: 0 | 1, j: 2 | 3, u: number): number => {
    const [d0, d1] = [s0[j] * STEP_S, s1[j] * STEP_S];
    const delta = s1[i] - s0[i];
    return s0[i] + u * (d0 + u * (3 * delta - 2 * d0 - d1 + u * (d0 + d1 - 2 * delta)));
  };
  let u = (positionM - s0[0]) / (s1[0] - s0[0]);
  for (let i = 0; i < 3; i++) u -= (cubic(0, 2, u) - positionM) / ((s0[2] + (s1[2] - s0[2]) * u) * STEP_S);
  const speed0 = Math.hypot(s0[2], s0[3]);
  const speed1 = Math.hypot(s1[2], s1[3]);
  return { timeS: (low + u) * STEP_S, heightM: cubic(1, 3, u), speedMps: speed0 + (speed1 - speed0) * u };
}
