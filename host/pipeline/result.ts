import type { BudgetLine, Result } from '../../protocol/index.ts';
import { type Estimate, standardUncertainty } from '../metrology/index.ts';
import { adviceOn } from './advice.ts';

/** Normal distribution, 95 % (JCGM 100:2008, table G.1): every input here is claimed, none estimated from few repeats. */
const COVERAGE_FACTOR = 1.96;

/** An estimate as readers get it: expanded uncertainty and budget, largest contribution first. */
export function toResult(estimate: Estimate, unit: string): Result {
  const u = standardUncertainty(estimate);
  const budget = estimate.terms.map(
    (term): BudgetLine => ({ ...term, contribution: Math.abs(term.sensitivity) * term.standardUncertainty }),
  );
  const ordered = budget.sort((a, b) => b.contribution - a.contribution);
  return {
    value: estimate.value,
    unit,
    standardUncertainty: u,
    expandedUncertainty: COVERAGE_FACTOR * u,
    coverageFactor: COVERAGE_FACTOR,
    budget: ordered,
    advice: adviceOn(ordered),
  };
}
