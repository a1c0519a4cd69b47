import { findUnit, unitsSpelt, unitsSpeltAlike } from './convert.ts';
import { DIMENSION_NAMES, type Dimension } from './dimensions.ts';
import { type Refused, refuse } from './problem.ts';
import type { Piece, Scanner } from './scanner.ts';
import { UNITS, type Unit } from './table.ts';

/** Common spellings that hide a reference or are ambiguous, with what to write. */
const HINTS: Readonly<Record<string, string>> = {
  psig: 'psi gauge',
  psia: 'psi absolute',
  barg: 'bar gauge',
  bara: 'bar absolute',
  C: '°C or degC',
  F: '°F or degF',
  sec: 's',
  lbs: 'lb',
  liter: 'L',
  litre: 'L',
  inches: 'in',
  mil: 'in',
  micron: 'µm or µmHg',
};

/**
 * Reads the unit that stands next.
 * @param dimensions  those that fit here; the first is named in the problem
 */
export function readUnit(
  scanner: Scanner,
  dimensions: readonly [Dimension, ...Dimension[]],
): { readonly ok: true; readonly unit: Unit } | Refused {
  const [wanted] = dimensions;
  const word = scanner.word();
  if (word === undefined) return missingUnit(scanner.ahead(), wanted);
  for (const dimension of dimensions) {
    const unit = findUnit(word.text, dimension);
    if (unit !== undefined) return { ok: true, unit };
  }
  return wrongUnit(word, wanted);
}

function missingUnit(ahead: Piece, wanted: Dimension): Refused {
  const expected = `a unit of ${wanted}`;
  if (ahead.text.startsWith(','))
    return refuse(ahead, expected, `a number has a comma in it; write the decimals after a point, and no thousands separators`);
  return refuse(ahead, expected, `the unit is missing; ${DIMENSION_NAMES[wanted]} is wanted here, in ${symbolsOf(wanted)}`);
}

function wrongUnit(word: Piece, wanted: Dimension): Refused {
  const expected = symbolsOf(wanted);
  const [other] = unitsSpelt(word.text);
  const need = `${DIMENSION_NAMES[wanted]} is wanted here, in ${expected}`;
  if (other !== undefined) return refuse(word, expected, `"${word.text}" is a unit of ${nounOf(other.dimension)}; ${need}`);
  const hint = Object.hasOwn(HINTS, word.text) ? HINTS[word.text] : undefined;
  const alike = unitsSpeltAlike(word.text, wanted).map((unit) => unit.symbol);
  const instead = hint ?? (alike.length > 0 ? alike.join(' or ') : undefined);
  if (instead !== undefined) return refuse(word, expected, `"${word.text}" is not a unit known here; write ${instead}`);
  return refuse(word, expected, `"${word.text}" is not a unit known here; ${need}`);
}

function nounOf(dimension: Dimension): string {
  return DIMENSION_NAMES[dimension].replace(/^an? /, '');
}

function symbolsOf(dimension: Dimension): string {
  const symbols = UNITS.filter((unit) => unit.dimension === dimension).map((unit) => unit.symbol);
  return symbols.length < 2 ? symbols.join('') : `${symbols.slice(0, -1).join(', ')} or ${symbols.at(-1)}`;
}
