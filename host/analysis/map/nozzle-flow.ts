/**
 * Mass flow of a perfect gas through a nozzle over that of the same nozzle when it chokes.
 * @param ratio  pressure behind over pressure before, ≥ 0
 * @returns 1 where it chokes, 0 where no pressure drives it
 * Source: NACA Report 1135 (1953), isentropic flow of a perfect gas
 */
export function flowOverChoked(ratio: number, { gamma, chokingRatio, chokedFunction }: NozzleGas): number {
  if (ratio <= chokingRatio) return 1;
  if (ratio >= 1) return 0;
  // Near equal pressures the flow goes as the root of their difference, whose endless slope no integration step follows.
  if (ratio > RATIO_LINEAR)
    return ((1 - ratio) / (1 - RATIO_LINEAR)) * flowOverChoked(RATIO_LINEAR, { gamma, chokingRatio, chokedFunction });
  const root = ratio ** (1 / gamma);
  return (root * Math.sqrt(((2 * gamma) / (gamma - 1)) * (1 - ratio / root))) / chokedFunction;
}

const RATIO_LINEAR = 0.98;

/** What of a gas decides how it flows. */
export interface NozzleGas {
  readonly gamma: number;
  /** p and p₀ of the flow that just chokes: (2/(γ+1))^(γ/(γ−1)). */
  readonly chokingRatio: number;
  /** Γ = √γ·(2/(γ+1))^((γ+1)/(2(γ−1))), so that the choked flow is Γ·A·p₀/√(R·T₀). */
  readonly chokedFunction: number;
}

/** @param gamma  ratio of specific heats, > 1 */
export const nozzleGas = (gamma: number): NozzleGas => ({
  gamma,
  chokingRatio: (2 / (gamma + 1)) ** (gamma / (gamma - 1)),
  chokedFunction: Math.sqrt(gamma) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1))),
});
