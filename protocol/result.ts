/** Derived values with where their uncertainty comes from. */

/** One line of an uncertainty budget (GUM): contribution = |sensitivity| · standardUncertainty. */
export interface BudgetLine {
  readonly input: string;
  readonly unit: string;
  readonly value: number;
  readonly standardUncertainty: number;
  /** Partial derivative of the result by this input. */
  readonly sensitivity: number;
  /** In the result's unit. */
  readonly contribution: number;
}

/** A derived value, with its standard uncertainty, its 95 % expanded uncertainty and where they come from. */
export interface Result {
  readonly value: number;
  readonly unit: string;
  readonly standardUncertainty: number;
  readonly expandedUncertainty: number;
  readonly coverageFactor: number;
  /** Largest contribution first. */
  readonly budget: readonly BudgetLine[];
  /** One sentence on what would shrink the uncertainty most. */
  readonly advice: string;
}
