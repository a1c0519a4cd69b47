/** The map's numbers as the page shows them. */

import type { DisplaySystem } from '../../../host/units/index.ts';
import { formatParts, formatValue, withMinus } from '../../../host/units/index.ts';
import type { MapBand } from '../../../protocol/index.ts';

/** `394.6 m/s, 393.2 to 396.0`. */
export function bandText({ velocityMps, lowMps, highMps }: MapBand, system: DisplaySystem): string {
  const half = (highMps - lowMps) / 2;
  const digits = (si: number): string => formatParts(si, half, 'velocity', system).value;
  const { value, symbol } = formatParts(velocityMps, half, 'velocity', system);
  return `${value} ${symbol}, ${digits(lowMps)} to ${digits(highMps)}`;
}

export const gaugeText = (absolutePa: number, ambientPa: number, system: DisplaySystem): string =>
  `${formatValue(absolutePa - ambientPa, 'pressure', system)} gauge`;

export const barrelText = (pa: number, system: DisplaySystem): string => `${formatValue(pa, 'vacuum', system)} absolute`;

export const percentText = (share: number, digits = 2): string => `${(100 * share).toFixed(digits)} %`;

/** With its sign, and none where it rounds to nothing. */
export function signedText(value: number, digits: number): string {
  const text = value.toFixed(digits);
  if (Number(text) === 0) return text.replace('-', '');
  return withMinus(value < 0 ? text : `+${text}`);
}
