/** Standard gravity, m/s² (NIST SP 811, appendix B.8). What it differs by from place to place, 0.3 %, is 0.04 mm here. */
const GRAVITY = 9.80665;
/** Below this loss of speed the closed form cancels itself out; what the plain parabola leaves out is then under 1e-5 of it. */
const LOSS_MIN = 3e-5;

/**
 * How far a ball falls below the line it was launched along.
 * @param flightTimeS  ≥ 0
 * @param speedRatio  speed at the start over the speed then, ≥ 1 where the ball is slowed
 * @returns m, downwards positive
 * With a retardation proportional to the square of the speed, v = v₀/(1 + at), the fall is slowed at the same rate:
 * y″ = g − a y′/(1 + at), so y = g/2a² · ((u² − 1)/2 − ln u), u = 1 + at = v₀/v. Derived here; flat path assumed.
 */
export function gravityDropM(flightTimeS: number, speedRatio: number): number {
  if (Math.abs(speedRatio - 1) < LOSS_MIN) return (GRAVITY * flightTimeS * flightTimeS) / 2;
  const perS = (speedRatio - 1) / flightTimeS;
  return (GRAVITY / (2 * perS * perS)) * ((speedRatio * speedRatio - 1) / 2 - Math.log(speedRatio));
}
