/** Rates of pressure, each panel in one scheme of units: SI per second, in kilopascals where they are large; US per minute. */
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

/** From here on in the larger unit of the scheme. */
const LARGE_PA_PER_S = 1000;

interface Scheme {
  readonly small: RateUnit;
  readonly large: RateUnit;
}

const always = (unit: RateUnit): Scheme => ({ small: unit, large: unit });

const SI: Scheme = { small: per('Pa', 's'), large: per('kPa', 's') };

const SCHEMES: Readonly<Record<'fill' | 'vacuum', Readonly<Record<DisplaySystem, Scheme>>>> = {
  fill: { SI, US: always(per('psi', 'min')) },
  vacuum: { SI, US: always(per('inHg', 'min')) },
};

export interface RateShown {
  /** The panel that it stands in. */
  readonly panel: keyof typeof SCHEMES;
  readonly system: DisplaySystem;
}

/** Such as `+16.7 kPa/s`, with `± 0.4` where an uncertainty is given. */
export function rateText(paPerS: number, expandedPaPerS: number | undefined, shown: RateShown): string {
  const { symbol, fromPaPerS } = unitFor(paPerS, shown);
  const value = fromPaPerS(paPerS);
  const uncertainty = fromPaPerS(expandedPaPerS ?? Number.NaN);
  if (!(uncertainty > 0)) return `${signed(value, 2)} ${symbol}`;
  const decimals = Math.max(0, 1 - Number(uncertainty.toExponential(1).split('e')[1]));
  return `${signed(value, decimals)} ± ${uncertainty.toFixed(decimals)} ${symbol}`;
}

/** Without a sign, two digits: of a rate that is only a size, such as the smallest leak that would be seen. */
export function rateSize(paPerS: number, shown: RateShown): string {
  const { symbol, fromPaPerS } = unitFor(paPerS, shown);
  return `${Number(Math.abs(fromPaPerS(paPerS)).toPrecision(2))} ${symbol}`;
}

function unitFor(paPerS: number, { panel, system }: RateShown): RateUnit {
  const { small, large } = SCHEMES[panel][system];
  return Math.abs(paPerS) < LARGE_PA_PER_S ? small : large;
}

function signed(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  if (Number(text) === 0) return text;
  return `${value < 0 ? '−' : '+'}${text}`;
}
