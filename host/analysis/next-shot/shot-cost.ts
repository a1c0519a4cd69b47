/** What a shot costs, in shots of no gas and an open barrel. */
export interface CostModel {
  /** More for the gas of a fill at the limit; less of it for less. */
  readonly gasAtLimit: number;
  /** More for a barrel pumped down to a hundredth of the air's pressure; with the logarithm of it. */
  readonly pumpedHundredfold: number;
  /** Less for a shot set up just as the one before. */
  readonly sameAgain: number;
}

/** Our own judgement; a range knows its own better. */
export const USUAL_COST: CostModel = { gasAtLimit: 0.3, pumpedHundredfold: 0.2, sameAgain: 0.1 };

export interface SetPoint {
  /** Absolute. */
  readonly reservoirPressurePa: number;
  /** Absolute. */
  readonly barrelPressurePa: number;
}

interface Limits {
  readonly reservoirPressurePaMax: number;
  readonly ambientPressurePa: number;
}

export function shotCost(cost: CostModel, point: SetPoint, limits: Limits, before: SetPoint | undefined): number {
  const gas = (cost.gasAtLimit * point.reservoirPressurePa) / limits.reservoirPressurePaMax;
  const pumped =
    (cost.pumpedHundredfold * Math.max(Math.log(limits.ambientPressurePa / Math.max(point.barrelPressurePa, 1)), 0)) / Math.log(100);
  return 1 + gas + pumped - (before && isSame(point, before) ? cost.sameAgain : 0);
}

/** As well as a crew meets it. */
export const isSame = (a: SetPoint, b: SetPoint): boolean =>
  Math.abs(a.reservoirPressurePa - b.reservoirPressurePa) < 0.02 * b.reservoirPressurePa &&
  Math.abs(a.barrelPressurePa - b.barrelPressurePa) < Math.max(0.1 * b.barrelPressurePa, 500);
