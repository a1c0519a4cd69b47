/** Where a result's uncertainty comes from, as a table on a terminal. */
import type { Result } from '../../../protocol/index.ts';
import { columns } from '../text/columns.ts';

export function budgetLines(title: string, result: Result): readonly string[] {
  const unit = result.unit === '1' ? '' : ` ${result.unit}`;
  const rows = result.budget.map((line) => [
    line.input,
    `${number(line.value, 6)}${line.unit === '1' ? '' : ` ${line.unit}`}`,
    number(line.standardUncertainty, 2),
    number(line.sensitivity, 3),
    number(line.contribution, 2),
    `${((line.contribution / result.standardUncertainty) ** 2 * 100).toFixed(1)} %`,
  ]);
  return [
    `${title}: ${number(result.value, 7)}${unit}, u = ${number(result.standardUncertainty, 2)}${unit} (k = 1), U = ${number(result.expandedUncertainty, 2)}${unit} (95 %, k = ${result.coverageFactor.toFixed(2)})`,
    '',
    ...columns(['Term', 'Value', 'u (k = 1)', 'Sensitivity', `Contribution${unit}`, 'Share'], rows),
    '',
    result.advice,
  ];
}

const number = (value: number, digits: number): string => String(Number(value.toPrecision(digits)));
