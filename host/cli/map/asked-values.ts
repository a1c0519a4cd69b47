/** Quantities of a question about a map. */
import { type Dimension, parseQuantity } from '../../units/index.ts';
import { CommandError } from '../output.ts';

/** @throws CommandError with exit code 2 for what is no such quantity */
export function askedValue(option: string, text: string, dimension: Dimension, example: string): number {
  const read = parseQuantity(text, dimension, { uncertainty: 'forbidden' });
  if (!read.ok) throw new CommandError(`${option} "${text}": ${read.problem.message}; write it as ${example}.`, 2);
  return read.valueSi;
}

/**
 * @param ambientPa  between gauge and absolute
 * @returns absolute, Pa
 * @throws CommandError with exit code 2
 */
export function askedPressurePa(option: string, text: string, ambientPa: number, example: string): number {
  const read = parseQuantity(text, 'pressure', { uncertainty: 'forbidden' });
  if (!read.ok) throw new CommandError(`${option} "${text}": ${read.problem.message}; write it as ${example}.`, 2);
  return read.reference === 'gauge' ? read.valueSi + ambientPa : read.valueSi;
}

/** `0.4 MPa gauge to 2 MPa gauge`, absolute, Pa. @throws CommandError with exit code 2 */
export function askedSpanPa(option: string, text: string, ambientPa: number, example: string): readonly [number, number] {
  const [from, to, ...more] = text.split(/\s+to\s+/);
  if (from === undefined || to === undefined || more.length > 0) throw new CommandError(`${option} "${text}": write it as ${example}.`, 2);
  const span = [askedPressurePa(option, from, ambientPa, example), askedPressurePa(option, to, ambientPa, example)] as const;
  if (!(span[0] < span[1])) throw new CommandError(`${option} "${text}": the second must be the higher one, as in ${example}.`, 2);
  return span;
}
