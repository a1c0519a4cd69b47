/** A limit in words, for `postern check`. */
import type { LimitSummary } from '../../../protocol/index.ts';
import { amountText, formatValue, type QuantityKind } from '../../units/index.ts';

/**
 * Such as `above 3.800 MPa gauge` or `rising faster than 1 MPa/min`.
 * @param kind  in which the channel is shown
 * @param unit  SI, of the channel
 */
export function limitText({ kind, from, thresholdSi, reference }: LimitSummary, shownAs: QuantityKind, unit: string): string {
  if (kind === 'differs-from') return `more than ${amountText(thresholdSi, unit)} from ${from}`;
  if (kind !== 'above' && kind !== 'below') return `${kind.replaceAll('-', ' ')} ${amountText(60 * thresholdSi, unit)}/min`;
  return `${kind} ${formatValue(thresholdSi, shownAs, 'SI')}${unit === 'Pa' ? ` ${reference}` : ''}`;
}

/** How long it must hold before it is told, how far back it is over, and that it then stays until somebody has seen it. */
export function limitCourse({ kind, holdS, clearSi }: LimitSummary, unit: string): string {
  const isRate = kind === 'rising-faster-than' || kind === 'falling-faster-than';
  const back = isRate ? `${amountText(60 * clearSi, unit)}/min` : amountText(clearSi, unit);
  return `${holdS > 0 ? `told after ${holdS} s, ` : ''}over when back by ${back}, stays until acknowledged`;
}
