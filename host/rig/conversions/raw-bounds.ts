/** Where a raw number stops being a reading, for conversions that do not know their sensor any better. */
import type { RawFault } from '../../../protocol/index.ts';

export interface RawBounds {
  /** At or below it, the converter is at its end. undefined: no converter, or the calibration has a point there. */
  readonly railLow?: number;
  /** At or above it, likewise. */
  readonly railHigh?: number;
  /** Outside it nothing is known of the sensor. */
  readonly range?: readonly [number, number];
}

export function rawFault({ railLow, railHigh, range }: RawBounds, raw: number): RawFault | undefined {
  if (railLow !== undefined && raw <= railLow) return 'railed-low';
  if (railHigh !== undefined && raw >= railHigh) return 'railed-high';
  if (range !== undefined && (raw < range[0] || raw > range[1])) return 'outside-range';
  return undefined;
}

/** Without a key `fault` where there is none. */
export function converted(si: number, fault: RawFault | undefined): { readonly si: number; readonly fault?: RawFault } {
  return fault === undefined ? { si } : { si, fault };
}

export function ascending(a: number, b: number): readonly [number, number] {
  return a <= b ? [a, b] : [b, a];
}
