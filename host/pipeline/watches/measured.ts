import type { Measured } from '../../../protocol/index.ts';
import { coverageFactor } from '../../metrology/index.ts';

const FACTOR = coverageFactor(0.95);

/** With its 95 % interval; the degrees of freedom behind a watch's numbers are many. */
export const measured = (value: number, ...standardUncertainties: readonly number[]): Measured => {
  const standardUncertainty = Math.hypot(...standardUncertainties);
  return { value, standardUncertainty, expandedUncertainty: FACTOR * standardUncertainty };
};
