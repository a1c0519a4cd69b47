/** A value from the rig file with its standard uncertainty (k = 1), both SI. */
export interface UncertainSi {
  readonly value: number;
  readonly standardUncertainty: number;
}
