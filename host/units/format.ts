import { DISPLAY, type DisplaySystem, type QuantityKind } from './display.ts';
import { withMinus } from './minus.ts';

/** What is shown for a value that is not there. */
export const NO_VALUE = '–';

const DECIMALS_MAX = 15;

/** The pieces of a value, for a page that sets the number larger than its unit. */
export interface FormattedParts {
  readonly value: string;
  /** Empty for a pure number. */
  readonly symbol: string;
  /** In the same unit; empty where none was given. */
  readonly uncertainty: string;
}

/** A value with the usual number of decimals of its kind, such as `312.46 m/s`. NaN gives a dash. */
export function formatValue(si: number, kind: QuantityKind, system: DisplaySystem): string {
  return joined(formatParts(si, undefined, kind, system));
}

/**
 * A value with its uncertainty, such as `312.46 m/s ± 0.21`: the uncertainty rounded to two significant digits, the
 * value to the same place. Whether it is standard or expanded is the caller's choice, and the caller's to say.
 * Without a positive finite uncertainty it is as formatValue.
 * Source: JCGM 100:2008, 7.2.6
 */
export function formatWithUncertainty(si: number, uncertaintySi: number, kind: QuantityKind, system: DisplaySystem): string {
  return joined(formatParts(si, uncertaintySi, kind, system));
}

export function formatParts(si: number, uncertaintySi: number | undefined, kind: QuantityKind, system: DisplaySystem): FormattedParts {
  const display = DISPLAY[kind][system];
  const value = display.fromSi(si);
  if (!Number.isFinite(value)) return { value: NO_VALUE, symbol: display.symbol, uncertainty: '' };
  const uncertainty = display.differenceFromSi(uncertaintySi ?? Number.NaN);
  if (!(uncertainty > 0 && Number.isFinite(uncertainty)))
    return { value: atDecimals(value, display.decimals), symbol: display.symbol, uncertainty: '' };
  const decimals = decimalsForTwoDigits(uncertainty);
  return { value: atDecimals(value, decimals), symbol: display.symbol, uncertainty: atDecimals(uncertainty, decimals) };
}

/** Negative: places left of the point. 0.0996 rounds up to 0.10 and so needs one fewer than its own exponent says. */
function decimalsForTwoDigits(uncertainty: number): number {
  const exponent = Number(uncertainty.toExponential(1).split('e')[1]);
  return Math.min(1 - exponent, DECIMALS_MAX);
}

function atDecimals(value: number, decimals: number): string {
  const text = decimals >= 0 ? value.toFixed(decimals) : (Math.round(value * 10 ** decimals) * 10 ** -decimals).toFixed(0);
  // No negative zero on a page.
  return /^-[0.]*$/.test(text) ? text.slice(1) : withMinus(text);
}

function joined({ value, symbol, uncertainty }: FormattedParts): string {
  const shown = symbol === '' ? value : `${value} ${symbol}`;
  return uncertainty === '' ? shown : `${shown} ± ${uncertainty}`;
}
