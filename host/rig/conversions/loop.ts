/**
 * A 4–20 mA transmitter over a shunt.
 *
 * Live zero: a transmitter that is well never carries less than 3.8 or more than 20.5 mA, and one that has failed says
 * so with at most 3.6 or at least 21 mA. In between the reading has left the measuring range and is not to be used.
 * Source of the four figures: NAMUR NE 43, from memory.
 */
import type { RawFault } from '../../../protocol/index.ts';
import { ascending, converted } from './raw-bounds.ts';

export interface LoopConversion {
  readonly kind: 'loop';
  readonly shuntOhm: number;
  /** Across the shunt at the full count, V. */
  readonly referenceV: number;
  readonly fullScale: number;
  readonly siAt4mA: number;
  readonly siAt20mA: number;
}

export const NE43_MA = { failedLow: 3.6, lowest: 3.8, highest: 20.5, failedHigh: 21 } as const;

export function convertLoop(conversion: LoopConversion, raw: number): ReturnType<typeof converted> {
  const currentMa = loopMilliamperes(conversion, raw);
  const { siAt4mA, siAt20mA, fullScale } = conversion;
  return converted(siAt4mA + ((currentMa - 4) / 16) * (siAt20mA - siAt4mA), faultOf(currentMa, raw >= fullScale));
}

/** @param raw  count */
export function loopMilliamperes({ shuntOhm, referenceV, fullScale }: LoopConversion, raw: number): number {
  return (raw / fullScale) * (referenceV / shuntOhm) * 1000;
}

export function loopRange({ siAt4mA, siAt20mA }: LoopConversion): readonly [number, number] {
  return ascending(siAt4mA, siAt20mA);
}

/** A shunt may drive the converter to its end before 21 mA; what lies beyond cannot be told then. */
function faultOf(currentMa: number, atEnd: boolean): RawFault | undefined {
  if (currentMa <= NE43_MA.failedLow) return 'loop-open';
  if (currentMa >= NE43_MA.failedHigh) return 'loop-short';
  if (atEnd) return 'railed-high';
  return currentMa < NE43_MA.lowest || currentMa > NE43_MA.highest ? 'outside-range' : undefined;
}
