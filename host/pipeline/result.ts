import type { BudgetLine, Result } from '../../protocol/index.ts';
import { coverageFactor, type Estimate, effectiveDegreesOfFreedom, standardUncertainty, type Term } from '../metrology/index.ts';
import { adviceOn } from './advice.ts';

const PROBABILITY = 0.95;

/** An estimate as readers get it: expanded uncertainty and budget, largest contribution first. */
export function toResult(estimate: Estimate, unit: string): Result {
  const u = standardUncertainty(estimate);
  const factor = coverageFactor(PROBABILITY, effectiveDegreesOfFreedom(estimate));
  const budget = estimate.terms.map(budgetLine).sort((a, b) => b.contribution - a.contribution);
  return {
    value: estimate.value,
    unit,
    standardUncertainty: u,
    expandedUncertainty: factor * u,
    coverageFactor: factor,
    budget,
    advice: adviceOn(budget),
  };
}

const budgetLine = ({ input, unit, value, standardUncertainty: u, sensitivity }: Term): BudgetLine => ({
  input,
  unit,
  value,
  standardUncertainty: u,
  sensitivity,
  contribution: Math.abs(sensitivity) * u,
});
