/** How far the pressure of a vessel may stand off its settled value, because filling warmed its gas or venting cooled it. */

/**
 * Temperature of the gas just after a quick fill, over that of the wall and of the gas supplied, if no heat reached the
 * wall: γ/(1 + (γ − 1)·p₁/p₂). At constant volume the pressure stands as much above its settled value. The most that
 * is possible; real fills lose heat meanwhile and stay well below.
 * @param startPa  before the fill, absolute, > 0
 * @param endPa  after it, absolute, ≥ startPa
 * @returns 1 to γ
 * Source: first law for a rigid vessel filled from a main of constant enthalpy (textbook unsteady control volume; from
 * memory), ideal gas
 */
export function filledOverSettled(startPa: number, endPa: number, gamma: number): number {
  return gamma / (1 + ((gamma - 1) * startPa) / endPa);
}

/** A vessel that is being filled, or that was just shut off. */
export interface Filling {
  /** Absolute, of the gas that is in, if it were as warm as the wall, Pa: where the pressure settles once the valve is shut. */
  readonly settledPa: number;
  /** Absolute, as it is, Pa. */
  readonly pressurePa: number;
}

/** Above this the wall takes no heat that could be seen, s; the formulas below need a number. */
export const NO_HEAT_TO_WALL_S = 1e6;

/**
 * The settled pressure a while later, of a vessel whose pressure meanwhile moves evenly.
 * Balance of energy of one well-mixed volume of an ideal gas, supplied at the wall's temperature T: with M = m·R·T/V, the
 * settled pressure of the mass m that is in, it reads dM/dt = (dp/dt + (p − M)/τ)/γ, solved here for an even dp/dt. With
 * no heat to the wall this is the adiabatic fill, M − M₀ = (p − p₀)/γ; with a wall that takes all of it at once, M = p.
 * @param slopePaPerS  of the pressure, even for the time
 * @param forS  ≥ 0
 * @param wallTimeS  τ, in which the wall takes the gas's warmth away at constant volume, 0 to NO_HEAT_TO_WALL_S
 * @returns Pa, absolute
 * Source: first law for a rigid vessel filled from a main of constant enthalpy (textbook unsteady control volume; from
 * memory), ideal gas, heat to the wall proportional to the gas's excess of temperature
 */
export function settledAfter(
  { settledPa, pressurePa }: Filling,
  slopePaPerS: number,
  forS: number,
  { wallTimeS, gamma }: { readonly wallTimeS: number; readonly gamma: number },
): number {
  // How far the pressure comes to stand above settled at this slope, if it goes on so.
  const aheadPa = (gamma - 1) * slopePaPerS * wallTimeS;
  const left = wallTimeS > 0 ? Math.exp(-forS / (gamma * wallTimeS)) : 0;
  return pressurePa + slopePaPerS * forS - aheadPa + (settledPa - pressurePa + aheadPa) * left;
}

/**
 * Temperature of the gas just after venting, over that before it and so over settled: the gas that stays behind expands reversibly, T₂/T₁ = (p₂/p₁)^((γ−1)/γ); below 1.
 * @param startPa  before venting, absolute
 * @param endPa  after it, absolute, ≤ startPa
 * Source: isentropic relation of a perfect gas, NACA Report 1135 (1953)
 */
export function ventedOverSettled(startPa: number, endPa: number, gamma: number): number {
  return (endPa / startPa) ** ((gamma - 1) / gamma);
}
