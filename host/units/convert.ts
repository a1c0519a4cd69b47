import type { Dimension } from './dimensions.ts';
import { UNITS, type Unit } from './table.ts';

/**
 * The unit of that spelling, in that dimension.
 * @returns undefined where the dimension has no such unit
 */
export function findUnit(spelling: string, dimension: Dimension): Unit | undefined {
  return UNITS.find((unit) => unit.dimension === dimension && spells(unit, spelling));
}

/** Units of that spelling in any dimension: to tell a wrong kind of unit from an unknown one. */
export function unitsSpelt(spelling: string): readonly Unit[] {
  return UNITS.filter((unit) => spells(unit, spelling));
}

/** Units that differ from the spelling only by capital letters: `mpa` for `MPa`. */
export function unitsSpeltAlike(spelling: string, dimension: Dimension): readonly Unit[] {
  const folded = spelling.toLowerCase();
  return UNITS.filter(
    (unit) => unit.dimension === dimension && [unit.symbol, ...unit.aliases].some((known) => known.toLowerCase() === folded),
  );
}

/** @param value in `unit` */
export function toSi(value: number, unit: Unit): number {
  return (value * unit.multiply + unit.add) / unit.divide;
}

/** @returns value in `unit` */
export function fromSi(si: number, unit: Unit): number {
  return (si * unit.divide - unit.add) / unit.multiply;
}

/** A value in one unit of a dimension, in SI. @throws RangeError where the table has no such unit (caller's bug) */
export function si(value: number, symbol: string, dimension: Dimension): number {
  return toSi(value, unitOf(symbol, dimension));
}

/** @throws RangeError where the table has no such unit (caller's bug) */
export function unitOf(symbol: string, dimension: Dimension): Unit {
  const unit = findUnit(symbol, dimension);
  if (unit === undefined) throw new RangeError(`no unit ${symbol} for ${dimension}`);
  return unit;
}

function spells(unit: Unit, spelling: string): boolean {
  return unit.symbol === spelling || unit.aliases.includes(spelling);
}
