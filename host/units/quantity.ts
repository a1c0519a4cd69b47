/**
 * Quantity text, such as `1.2000 m ± 0.3 mm` or `3.5 MPa gauge`.
 *
 *   quantity    = number unit [gauge | absolute] [uncertainty]
 *   uncertainty = ± number (unit | % | ppm) [of span | of value] [k=number | rect | std]
 *
 * `+-` and `+/-` stand for ±. What ± means is stated in uncertainty.ts.
 */
import { toSi } from './convert.ts';
import type { Dimension } from './dimensions.ts';
import { type Refused, refuse } from './problem.ts';
import { numberOf, type Scanner, scanText } from './scanner.ts';
import type { Unit } from './table.ts';
import { readUncertainty, type UncertaintyRead } from './uncertainty.ts';
import { readUnit } from './unit-word.ts';

export type PressureReference = 'gauge' | 'absolute';

/** Longer texts are refused unread. */
export const QUANTITY_CHARACTERS_MAX = 120;

export interface QuantityOptions {
  /** What `of span` is of, SI; without it `of span` is refused. */
  readonly spanSi?: number;
  /** Whether `gauge` or `absolute` must stand there. Default: required for a pressure, forbidden for all else. */
  readonly reference?: 'required' | 'forbidden';
  /** Whether a ± must, may or must not stand there. Default: optional. */
  readonly uncertainty?: 'required' | 'optional' | 'forbidden';
}

export interface Quantity {
  readonly ok: true;
  readonly valueSi: number;
  /** k = 1; 0 where no ± stands there. */
  readonly standardUncertaintySi: number;
  readonly reference?: PressureReference;
}

/**
 * Reads a quantity text.
 * @returns SI, with standard uncertainty; or the first thing that is wrong, and its place
 */
export function parseQuantity(text: string, dimension: Dimension, options: QuantityOptions = {}): Quantity | Refused {
  const scanner = scanText(text);
  const long = refuseLong(text);
  if (long !== undefined) return long;
  const number = scanner.number();
  if (number === undefined) return refuse(scanner.ahead(), 'a number', `${described(scanner)} does not begin with a number`);
  const value = numberOf(number);
  if (Number.isNaN(value)) return refuse(number, 'a finite number', `${number.text} is too large a number`);
  const unit = readUnit(scanner, [dimension]);
  if (!unit.ok) return unit;
  const reference = readReference(scanner, unit.unit, options.reference ?? (dimension === 'pressure' ? 'required' : 'forbidden'));
  if (!reference.ok) return reference;
  const valueSi = toSi(value, unit.unit);
  // A factor can carry a number that fits a double out of it.
  if (!Number.isFinite(valueSi)) return refuse(number, 'a finite number', `${number.text} is too large a number`);
  const uncertainty = readOptionalUncertainty(scanner, { dimension, valueSi, spanSi: options.spanSi }, options.uncertainty ?? 'optional');
  if (!uncertainty.ok) return uncertainty;
  const { standardUncertaintySi } = uncertainty;
  return reference.word === undefined
    ? { ok: true, valueSi, standardUncertaintySi }
    : { ok: true, valueSi, standardUncertaintySi, reference: reference.word };
}

/**
 * Reads a unit that stands alone, such as `°C` or `bar gauge`.
 * @returns the unit, with the reference that a pressure must have
 */
export function parseUnit(
  text: string,
  dimension: Dimension,
): { readonly ok: true; readonly unit: Unit; readonly reference?: PressureReference } | Refused {
  const scanner = scanText(text);
  const long = refuseLong(text);
  if (long !== undefined) return long;
  const unit = readUnit(scanner, [dimension]);
  if (!unit.ok) return unit;
  const reference = readReference(scanner, unit.unit, dimension === 'pressure' ? 'required' : 'forbidden');
  if (!reference.ok) return reference;
  const rest = scanner.ahead();
  if (rest.text !== '') return refuse(rest, 'the end', `"${rest.text}" is not understood at this place; a unit reads like bar gauge`);
  return { ok: true, unit: unit.unit, ...(reference.word === undefined ? {} : { reference: reference.word }) };
}

/**
 * Reads an uncertainty that stands alone, such as `± 0.25 % of span` or `± 0.4 K`.
 * @param options.spanSi  what `of span` is of, SI
 */
export function parseUncertainty(text: string, dimension: Dimension, options: { readonly spanSi?: number } = {}): UncertaintyRead {
  const scanner = scanText(text);
  const long = refuseLong(text);
  if (long !== undefined) return long;
  if (scanner.plusMinus() === undefined)
    return refuse(scanner.ahead(), '±', 'an uncertainty begins with ±; write for example ± 0.25 % of span');
  const read = readUncertainty(scanner, { dimension, spanSi: options.spanSi });
  return read.ok ? (refuseRest(scanner) ?? read) : read;
}

function readOptionalUncertainty(
  scanner: Scanner,
  context: Parameters<typeof readUncertainty>[1],
  need: 'required' | 'optional' | 'forbidden',
): UncertaintyRead {
  const sign = scanner.plusMinus();
  if (sign === undefined) {
    const rest = refuseRest(scanner);
    if (rest !== undefined) return rest;
    if (need !== 'required') return { ok: true, standardUncertaintySi: 0 };
    return refuse(scanner.ahead(), '±', 'the uncertainty is missing; write ± and how far off it may be');
  }
  if (need === 'forbidden') return refuse(sign, 'no ±', 'no uncertainty is used here; leave out what stands from ± on');
  const read = readUncertainty(scanner, context);
  return read.ok ? (refuseRest(scanner) ?? read) : read;
}

function readReference(
  scanner: Scanner,
  unit: Unit,
  need: 'required' | 'forbidden',
): { readonly ok: true; readonly word?: PressureReference } | Refused {
  const piece = scanner.keyword('gauge', 'gage', 'absolute', 'abs');
  if (need === 'required') {
    if (piece !== undefined) return { ok: true, word: piece.text.startsWith('g') ? 'gauge' : 'absolute' };
    return refuse(scanner.ahead(), 'gauge or absolute', `say whether the pressure is gauge or absolute, right after ${unit.symbol}`);
  }
  if (piece === undefined) return { ok: true };
  return refuse(piece, `nothing after ${unit.symbol}`, `"${piece.text}" has no place here; leave it out`);
}

function refuseRest(scanner: Scanner): Refused | undefined {
  const rest = scanner.ahead();
  if (rest.text === '') return undefined;
  if (/^(gauge|gage|absolute|abs)$/.test(rest.text))
    return refuse(rest, 'the end', `"${rest.text}" must stand right after the value's unit, before the ±`);
  return refuse(rest, 'the end', `"${rest.text}" is not understood at this place; a quantity reads like 1.2000 m ± 0.3 mm`);
}

function refuseLong(text: string): Refused | undefined {
  if (text.length <= QUANTITY_CHARACTERS_MAX) return undefined;
  const piece = { text: `${text.slice(0, 20)}…`, offset: 0 };
  return refuse(
    piece,
    `at most ${QUANTITY_CHARACTERS_MAX} characters`,
    `the text has ${text.length} characters; at most ${QUANTITY_CHARACTERS_MAX} are read`,
  );
}

function described(scanner: Scanner): string {
  const { text } = scanner.ahead();
  return text === '' ? 'an empty text' : `"${text}"`;
}
