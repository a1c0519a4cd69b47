/** A ball let go at rest in still air: gravity, buoyancy, drag, and the air that it has to take along. */

export interface FallingBall {
  /** m/s², > 0 */
  readonly gravityMps2: number;
  /** kg, > 0 */
  readonly massKg: number;
  /** m, > 0 */
  readonly diameterM: number;
  /** Of the air, kg/m³, ≥ 0 and less than the ball's. */
  readonly densityKgM3: number;
  /** On frontal area πd²/4, the same all the way, ≥ 0 */
  readonly dragCoefficient: number;
}

/**
 * @param heightM  fallen, m, ≥ 0
 * @returns when and how fast
 * With b = ρV/m: (1 + b/2)·dv/dt = (1 − b)·g − ρAC·v²/2m, the half of the displaced air being that which moves along
 * with a sphere (potential flow; Batchelor, An Introduction to Fluid Dynamics, 6.4, from memory). In a form that holds
 * down to no drag at all: v² = 2ax·(1 − e^(−2kx))/2kx and t = asinh(√(e^(2kx) − 1))/√(ak). Derived here.
 * A ball that has just been let go feels more drag than at the same speed later (the Basset force); that is left out,
 * and is to be in the uncertainty of the drag coefficient.
 */
export function fallen(heightM: number, ball: FallingBall): { readonly timeS: number; readonly speedMps: number } {
  const { gravityMps2, massKg, diameterM, densityKgM3, dragCoefficient } = ball;
  const displaced = (densityKgM3 * Math.PI * diameterM ** 3) / 6 / massKg;
  const inertia = 1 + displaced / 2;
  const a = ((1 - displaced) * gravityMps2) / inertia;
  const k = (densityKgM3 * Math.PI * diameterM ** 2 * dragCoefficient) / 8 / massKg / inertia;
  const twice = 2 * k * heightM;
  if (twice < TINY) return { timeS: Math.sqrt((2 * heightM) / a), speedMps: Math.sqrt(2 * a * heightM) };
  return {
    timeS: Math.asinh(Math.sqrt(Math.expm1(twice))) / Math.sqrt(a * k),
    speedMps: Math.sqrt((a * -Math.expm1(-twice)) / k),
  };
}

/** Below it the drag changes nothing that a double holds. */
const TINY = 1e-16;
