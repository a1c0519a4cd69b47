/** Limits in plain words. */
import { DISPLAY, type DisplaySystem, formatValue, type QuantityKind } from '../../../host/units/index.ts';
import type { LimitEvent, LimitState, LimitSummary } from '../../../protocol/index.ts';

export const LIMIT_STATE_WORDS: Readonly<Record<LimitState, string>> = {
  clear: 'within',
  active: 'NOW',
  'active-acknowledged': 'NOW, seen',
  latched: 'OVER, NOT YET SEEN',
};

/** What the strip shows: alarms before warnings, unseen before seen, then the newest. */
export function standingLimits(limits: Readonly<Record<string, LimitEvent>>): readonly LimitEvent[] {
  const rank = ({ severity, state }: LimitEvent) => (severity === 'alarm' ? 0 : 2) + (state === 'active-acknowledged' ? 1 : 0);
  return Object.values(limits)
    .filter(({ state }) => state !== 'clear')
    .sort((a, b) => rank(a) - rank(b) || b.atNs - a.atNs);
}

/** Such as `above 3.600 MPa gauge` or `rising faster than 1.000 MPa a minute`. */
export function limitText({ kind, from, thresholdSi, reference }: LimitSummary, shownAs: QuantityKind, system: DisplaySystem): string {
  if (kind === 'above' || kind === 'below') {
    const isPressure = shownAs === 'pressure' || shownAs === 'vacuum' || shownAs === 'airPressure';
    return `${kind} ${formatValue(thresholdSi, shownAs, system)}${isPressure ? ` ${reference}` : ''}`;
  }
  const { differenceFromSi, decimals, symbol } = DISPLAY[shownAs][system];
  if (kind === 'differs-from') return `differs from ${from} by more than ${differenceFromSi(thresholdSi).toFixed(decimals)} ${symbol}`;
  return `${kind.replaceAll('-', ' ')} ${differenceFromSi(thresholdSi * 60).toFixed(decimals)} ${symbol} a minute`;
}
