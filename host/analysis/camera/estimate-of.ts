import type { Result } from '../../../protocol/index.ts';
import type { Estimate } from '../../metrology/index.ts';

/** A result as it was told, with its inputs under their names: what it shares with another estimate stays shared. */
export const estimateOf = ({ value, budget }: Pick<Result, 'value' | 'budget'>): Estimate => ({
  value,
  terms: budget.map(({ input, unit, value: at, standardUncertainty, sensitivity }) => ({
    input,
    unit,
    value: at,
    standardUncertainty,
    sensitivity,
  })),
});
