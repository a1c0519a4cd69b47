/** Results and latched values as text, always with their 95 % uncertainty. */

import { type DisplaySystem, type FormattedParts, formatParts, NO_VALUE, type QuantityKind } from '../../../host/units/index.ts';
import type { Latched, Measured } from '../../../protocol/index.ts';

const NOTHING: FormattedParts = { value: NO_VALUE, symbol: '', uncertainty: '' };

export function resultParts(result: Measured | undefined, kind: QuantityKind, system: DisplaySystem): FormattedParts {
  return result ? formatParts(result.value, result.expandedUncertainty, kind, system) : NOTHING;
}

/** Of a latched value only the standard uncertainty is known: doubled, for 95 % of a normal distribution. */
export function latchedParts(latched: Latched | undefined, kind: QuantityKind, system: DisplaySystem): FormattedParts {
  return latched ? formatParts(latched.value, 2 * latched.standardUncertainty, kind, system) : NOTHING;
}

/** Such as `312.46 ± 0.14 m/s`. */
export function oneLine({ value, uncertainty, symbol }: FormattedParts): string {
  return [value, uncertainty === '' ? '' : `± ${uncertainty}`, symbol].filter((part) => part !== '').join(' ');
}
