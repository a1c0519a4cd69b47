/** Amounts of a quantity in sentences. */
import { withMinus } from './minus.ts';

const rounded = (value: number): string => withMinus(String(Number(value.toPrecision(3))));

/**
 * Of a difference or a bare number, such as `1.2 kPa` or `−0.4 K`; whether a pressure is gauge the sentence says.
 * @param unit  SI, `1` for a ratio
 */
export function amountText(si: number, unit: string): string {
  if (unit === '1') return `${rounded(100 * si)} %`;
  if (unit !== 'Pa') return `${rounded(si)} ${unit}`;
  const size = Math.abs(si);
  if (size >= 1e6) return `${rounded(si / 1e6)} MPa`;
  return size >= 1e3 ? `${rounded(si / 1e3)} kPa` : `${rounded(si)} Pa`;
}
