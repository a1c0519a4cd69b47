/** Estimates of a camera as readers get them. */
import type { BudgetLine, Measured, Result } from '../../../protocol/index.ts';
import { coverageFactor, type Estimate, effectiveDegreesOfFreedom, standardUncertainty } from '../../metrology/index.ts';
import { FRAME_MARKING } from './nuisances.ts';

const PROBABILITY = 0.95;

const REMEDIES: readonly (readonly [pattern: RegExp, remedy: string])[] = [
  [/^marking of the ball$/, 'mark more frames, or set the exposure shorter'],
  [/^marking of mark /, 'mark it again under the glass, or use marks with a finer edge'],
  [/^mark .* position$/, 'measure the marks’ places better, or set them further apart'],
  [/^mark .* standoff$/, 'measure how far that mark is behind the flight line'],
  [/^scale of the marks$/, 'set the marks with a better rule'],
  [/^standoff of the marks$/, 'measure how far the marks are behind the flight line, or set them in its plane'],
  [/^distance of the camera$/, 'measure from the lens to the flight line'],
  [/^place of the camera$/, 'measure where the camera stands along the range'],
  [/^squareness of the camera$/, 'mark a third and a fourth mark, or set the camera square'],
  [/^frame rate of the camera$/, 'have the camera’s clock compared'],
  [/^ball to the side/, 'move the camera further from the flight line'],
  [/^delay of the camera$/, 'measure the delay from the trigger to the exposure'],
  [/^drag curve/, 'set the camera opposite a gate pair'],
  [/^disagreement of the picture/, 'find the mark or the frame that is off: its residual is the largest'],
];

/** As a budget, largest contribution first; the frames' marks are one line. */
export function resultOf(estimate: Estimate, unit: string): Result {
  const u = standardUncertainty(estimate);
  const factor = coverageFactor(PROBABILITY, effectiveDegreesOfFreedom(estimate));
  const budget = budgetOf(estimate).toSorted((a, b) => b.contribution - a.contribution);
  return {
    value: estimate.value,
    unit,
    standardUncertainty: u,
    expandedUncertainty: factor * u,
    coverageFactor: factor,
    budget,
    advice: advice(budget),
  };
}

export function measuredOf(estimate: Estimate): Measured {
  const u = standardUncertainty(estimate);
  const factor = coverageFactor(PROBABILITY, effectiveDegreesOfFreedom(estimate));
  return { value: estimate.value, standardUncertainty: u, expandedUncertainty: factor * u };
}

function budgetOf({ terms }: Estimate): readonly BudgetLine[] {
  const lines = terms.map(({ input, unit, value, standardUncertainty: u, sensitivity }): BudgetLine => {
    return { input, unit, value, standardUncertainty: u, sensitivity, contribution: Math.abs(sensitivity) * u };
  });
  const frames = lines.filter(({ input }) => input.startsWith(FRAME_MARKING));
  const contribution = Math.hypot(...frames.map((line) => line.contribution));
  if (contribution === 0) return lines.filter((line) => !frames.includes(line));
  const u = Math.sqrt(frames.reduce((sum, line) => sum + line.standardUncertainty ** 2, 0) / frames.length);
  const together = {
    input: 'marking of the ball',
    unit: 'px',
    value: 0,
    standardUncertainty: u,
    sensitivity: contribution / u,
    contribution,
  };
  return [...lines.filter((line) => !frames.includes(line)), together];
}

function advice(budget: readonly BudgetLine[]): string {
  const [first] = budget;
  if (!first) return 'Nothing uncertain enters.';
  const variance = budget.reduce((sum, line) => sum + line.contribution ** 2, 0);
  const share = Math.round((100 * first.contribution ** 2) / variance);
  const remedy = REMEDIES.find(([pattern]) => pattern.test(first.input))?.[1] ?? 'know it better';
  return `The largest part, ${share} % of the variance, is ${first.input}; what helps: ${remedy}.`;
}
