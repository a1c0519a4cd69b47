/** A reservoir that empties through a choked valve, without heat from its wall. */

/**
 * Pressure over that before the valve opened, as long as the valve chokes: (1 + x)^(−2γ/(γ−1)), where x grows with the
 * area that has been open, x = ((γ−1)/2)·K·∫(A/A_full)dt and K = C_d·A_full·√(γRT)·((γ+1)/2)^(−(γ+1)/(2(γ−1)))/V.
 * @param x  ≥ 0
 * Source: mass and energy balance of an isentropic reservoir with the choked flow of NACA Report 1135 (1953);
 * integrated here
 */
export const blowDownRatio = (x: number, gamma: number): number => (1 + x) ** ((-2 * gamma) / (gamma - 1));

/** The inverse: x for a pressure ratio of 0 to 1. */
export const blowDownProgress = (ratio: number, gamma: number): number => ratio ** (-(gamma - 1) / (2 * gamma)) - 1;

/**
 * Energy that leaves a rigid reservoir with the gas: its fall in internal energy, U = pV/(γ−1), J. No heat from the
 * wall, as over the hundredths of a second of a shot.
 * @param fallPa  pressure before less pressure after, Pa
 * Source: first law for an open system, ideal gas of constant γ
 */
export const energyDrawnJ = (fallPa: number, volumeM3: number, gamma: number): number => (fallPa * volumeM3) / (gamma - 1);
