/** The same result under two rig files: by how much it differs, and how sure that is. */
import type { BudgetLine, Result } from '../../protocol/index.ts';

export interface Difference {
  readonly value: number;
  readonly standardUncertainty: number;
  readonly expandedUncertainty: number;
}

/** Of a value: closer is the same input, computed twice. */
const SAME = 1e-9;

/**
 * What both results took from the very same inputs (name, value and uncertainty alike: edges, air, masses) cancels, but
 * for the change of its sensitivity. An input that one of them has otherwise, or alone, is new knowledge of its own.
 * The larger of the two coverage factors is taken.
 * @returns `second` less `first`
 * Source: JCGM 100:2008, 5.1.3, eq. (11a), over the inputs of both
 */
export function differenceOf(first: Result, second: Result): Difference {
  const rest = new Map(second.budget.map((line) => [line.input, line]));
  let variance = 0;
  for (const line of first.budget) {
    const other = rest.get(line.input);
    if (other && isSame(line, other)) {
      variance += ((other.sensitivity - line.sensitivity) * line.standardUncertainty) ** 2;
      rest.delete(line.input);
    } else variance += line.contribution ** 2;
  }
  for (const { contribution } of rest.values()) variance += contribution ** 2;
  const standardUncertainty = Math.sqrt(variance);
  const factor = Math.max(first.coverageFactor, second.coverageFactor);
  return { value: second.value - first.value, standardUncertainty, expandedUncertainty: factor * standardUncertainty };
}

const isSame = (a: BudgetLine, b: BudgetLine): boolean =>
  a.unit === b.unit && isClose(a.value, b.value) && isClose(a.standardUncertainty, b.standardUncertainty);
const isClose = (a: number, b: number): boolean => a === b || Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b));
