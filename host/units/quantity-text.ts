import { fromSi } from './convert.ts';
import type { PressureReference } from './quantity.ts';
import type { Unit } from './table.ts';

/**
 * A quantity as text that parseQuantity reads back, with every digit.
 * @param valueSi  finite
 * @param options.standardUncertaintySi  k = 1, ≥ 0, written as `± … std` in the dimension's SI unit
 */
export function quantityText(
  valueSi: number,
  unit: Unit,
  options: { readonly standardUncertaintySi?: number; readonly reference?: PressureReference; readonly siSymbol: string },
): string {
  const value = `${fromSi(valueSi, unit)} ${unit.symbol}`;
  const reference = options.reference === undefined ? '' : ` ${options.reference}`;
  const u = options.standardUncertaintySi;
  return `${value}${reference}${u === undefined ? '' : ` ± ${u} ${options.siSymbol} std`}`;
}
