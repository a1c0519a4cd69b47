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

/**
 * The same after venting: the gas that stays behind expands reversibly, T₂/T₁ = (p₂/p₁)^((γ−1)/γ); below 1.
 * @param startPa  before venting, absolute
 * @param endPa  after it, absolute, ≤ startPa
 * Source: isentropic relation of a perfect gas, NACA Report 1135 (1953)
 */
export function ventedOverSettled(startPa: number, endPa: number, gamma: number): number {
  return (endPa / startPa) ** ((gamma - 1) / gamma);
}
