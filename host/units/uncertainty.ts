/**
 * The part of a quantity text from ± on.
 *
 * What ± means, here and nowhere else: an expanded uncertainty with coverage factor 2, so u = a/2, unless it is
 * followed by `k=…` (u = a/k), `rect` (half-width of a rectangular distribution, u = a/√3) or `std` (u = a).
 * Source: JCGM 100:2008, 4.3.3 (k), 4.3.7 eq. (7) (rectangular).
 *
 * `%` and `ppm` are of the value, or of the span where `of span` follows. A ratio is different: `60 % ± 4 %` means
 * percentage points, from 56 % to 64 %; to have it relative write `of value`.
 */
import { toSi } from './convert.ts';
import type { Dimension } from './dimensions.ts';
import { type Refused, refuse } from './problem.ts';
import { numberOf, type Piece, type Scanner } from './scanner.ts';
import type { Unit } from './table.ts';
import { readUnit } from './unit-word.ts';

export interface UncertaintyContext {
  readonly dimension: Dimension;
  /** What a relative uncertainty is of; undefined where no value goes before ±. For a temperature never given. */
  readonly valueSi?: number | undefined;
  readonly spanSi?: number | undefined;
}

export type UncertaintyRead = { readonly ok: true; readonly standardUncertaintySi: number } | Refused;

/** Reads what follows ±, to the end of the uncertainty; the caller looks for text left over. */
export function readUncertainty(scanner: Scanner, context: UncertaintyContext): UncertaintyRead {
  const number = scanner.number();
  if (number === undefined) return refuse(scanner.ahead(), 'a number', 'after ± a number is missing; write for example ± 0.3 mm');
  const size = numberOf(number);
  if (Number.isNaN(size)) return refuse(number, 'a finite number', `${number.text} is too large a number`);
  if (size < 0) return refuse(number, 'a number that is not negative', 'an uncertainty cannot be negative; leave the minus sign out');
  const differences = differenceOf(context.dimension);
  const unit = readUnit(scanner, differences === 'ratio' ? ['ratio'] : [differences, 'ratio']);
  if (!unit.ok) return unit;
  const half = halfWidthSi(size, unit.unit, number, scanner, context);
  if (!half.ok) return half;
  // A factor can carry a number that fits a double out of it.
  if (!Number.isFinite(half.valueSi) && !Number.isNaN(half.valueSi))
    return refuse(number, 'a finite number', `${number.text} is too large a number`);
  const divisor = readDivisor(scanner);
  if (!divisor.ok) return divisor;
  return { ok: true, standardUncertaintySi: half.valueSi / divisor.divisor };
}

type HalfWidth = { readonly ok: true; readonly valueSi: number } | Refused;

function halfWidthSi(size: number, unit: Unit, number: Piece, scanner: Scanner, context: UncertaintyContext): HalfWidth {
  const of = readOf(scanner);
  if (of !== undefined && !of.ok) return of;
  if (unit.dimension !== 'ratio') {
    if (of === undefined) return { ok: true, valueSi: toSi(size, unit) };
    return refuse(of.piece, '% or ppm before "of"', `"of ${of.what}" goes with % or ppm only; leave it out after ${unit.symbol}`);
  }
  const fraction = toSi(size, unit);
  if (of?.what === 'span') {
    if (context.spanSi !== undefined) return { ok: true, valueSi: fraction * Math.abs(context.spanSi) };
    return refuse(
      of.piece,
      'an uncertainty in a unit',
      '"of span" has no meaning here, for there is no span; give the uncertainty in a unit',
    );
  }
  if (of === undefined && context.dimension === 'ratio') return { ok: true, valueSi: fraction };
  return relative(fraction, number, context);
}

function relative(fraction: number, number: Piece, context: UncertaintyContext): HalfWidth {
  const { dimension, valueSi, spanSi } = context;
  if (valueSi === undefined) {
    const instead = spanSi === undefined ? 'give it in a unit' : 'give it in a unit, or write "of span" after it';
    return refuse(number, 'an uncertainty in a unit', `a relative uncertainty has no value to be relative to here; ${instead}`);
  }
  if (dimension === 'temperature')
    return refuse(number, 'an uncertainty in K, °C or °F', 'a percentage of a temperature has no meaning; give the uncertainty in K');
  if (valueSi === 0 && fraction !== 0)
    return refuse(number, 'an uncertainty in a unit', 'a relative uncertainty of zero is zero; give the uncertainty in a unit');
  return { ok: true, valueSi: fraction * Math.abs(valueSi) };
}

function readOf(scanner: Scanner): { readonly ok: true; readonly what: 'span' | 'value'; readonly piece: Piece } | Refused | undefined {
  const of = scanner.keyword('of');
  if (of === undefined) return undefined;
  const what = scanner.keyword('span', 'value');
  if (what === undefined) return refuse(scanner.ahead(), 'span or value', 'after "of" must stand "span" or "value"');
  return { ok: true, what: what.text === 'span' ? 'span' : 'value', piece: of };
}

function readDivisor(scanner: Scanner): { readonly ok: true; readonly divisor: number } | Refused {
  const word = scanner.keyword('k', 'rect', 'std');
  if (word === undefined) return { ok: true, divisor: 2 };
  if (word.text === 'rect') return { ok: true, divisor: Math.sqrt(3) };
  if (word.text === 'std') return { ok: true, divisor: 1 };
  const number = scanner.equals() === undefined ? undefined : scanner.number();
  if (number === undefined) return refuse(scanner.ahead(), 'k=2', 'after k a coverage factor is missing; write for example k=2');
  const factor = numberOf(number);
  if (factor >= 1 && factor <= 10) return { ok: true, divisor: factor };
  return refuse(
    number,
    'a coverage factor from 1 to 10',
    `a coverage factor of ${number.text} is not believable; it lies between 1 and 10`,
  );
}

/** An uncertainty is a difference: of a temperature it has no zero point. */
function differenceOf(dimension: Dimension): Dimension {
  return dimension === 'temperature' ? 'temperatureDifference' : dimension;
}
