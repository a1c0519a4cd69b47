/** Rates of pressure in the units that the crew thinks in: a fill's per second, a leak's in small units. */
import { type DisplaySystem, unitOf } from '../../../host/units/index.ts';

interface RateUnit {
  readonly symbol: string;
  readonly fromPaPerS: (paPerS: number) => number;
}

const per = (unit: string, time: 's' | 'min'): RateUnit => {
  const { multiply, divide } = unitOf(unit, 'pressure');
  const seconds = time === 's' ? 1 : 60;
  return { symbol: `${unit}/${time}`, fromPaPerS: (paPerS) => ((paPerS * divide) / multiply) * seconds };
};

const UNITS: Readonly<Record<'fill' | 'vacuum' | 'leak', Readonly<Record<DisplaySystem, RateUnit>>>> = {
  fill: { SI: per('kPa', 's'), US: per('psi', 's') },
  vacuum: { SI: per('Pa', 's'), US: per('inHg', 'min') },
  leak: { SI: per('Pa', 's'), US: per('psi', 'min') },
};

export type RateKind = keyof typeof UNITS;

/** Such as `+16.7 kPa/s`, with `± 0.4` where an uncertainty is given. */
export function rateText(
  paPerS: number,
  expandedPaPerS: number | undefined,
  { kind, system }: { readonly kind: RateKind; readonly system: DisplaySystem },
): string {
  const { symbol, fromPaPerS } = UNITS[kind][system];
  const value = fromPaPerS(paPerS);
  const uncertainty = fromPaPerS(expandedPaPerS ?? Number.NaN);
  if (!(uncertainty > 0)) return `${signed(value, 2)} ${symbol}`;
  const decimals = Math.max(0, 1 - Number(uncertainty.toExponential(1).split('e')[1]));
  return `${signed(value, decimals)} ± ${uncertainty.toFixed(decimals)} ${symbol}`;
}

/** Without a sign, two digits: of a rate that is only a size, such as the smallest leak that would be seen. */
export function rateSize(paPerS: number, { kind, system }: { readonly kind: RateKind; readonly system: DisplaySystem }): string {
  const { symbol, fromPaPerS } = UNITS[kind][system];
  return `${Number(Math.abs(fromPaPerS(paPerS)).toPrecision(2))} ${symbol}`;
}

function signed(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  if (Number(text) === 0) return text;
  return `${value < 0 ? '−' : '+'}${text}`;
}
