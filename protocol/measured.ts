/** A number that a watch found, in the unit of the field's name. */
export interface Measured {
  readonly value: number;
  /** k = 1. */
  readonly standardUncertainty: number;
  /** 95 %. */
  readonly expandedUncertainty: number;
}
