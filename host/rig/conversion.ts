/**
 * From the raw number of a channel (a count, or what a text instrument printed) to SI.
 *
 * A kind is a file under conversions/: what it holds, its formula, its faults. The rig file's text is turned into these
 * by resolve/conversion.ts; nothing here reads text.
 */
import type { RawFault } from '../../protocol/index.ts';
import { convertDirect, type DirectConversion, directRange } from './conversions/direct.ts';
import { convertLoop, type LoopConversion, loopRange } from './conversions/loop.ts';
import { convertPoints, type PointsConversion, pointsRange } from './conversions/points.ts';
import { convertPolynomial, type PolynomialConversion, polynomialRange } from './conversions/polynomial.ts';
import { convertThermistor, type ThermistorConversion, thermistorRange } from './conversions/thermistor.ts';

export type Conversion = PointsConversion | PolynomialConversion | LoopConversion | ThermistorConversion | DirectConversion;

export interface Converted {
  /** As the sensor reads: a gauge pressure stays gauge. NaN where no number can be made, and then there is a fault. */
  readonly si: number;
  /** The number is not to be shown as a reading. */
  readonly fault?: RawFault;
}

/**
 * @param raw  a count, from 0; or the number that a text instrument printed, any finite one
 * @returns Pa, K, 1, m/s or V
 */
export function convert(channel: { readonly conversion: Conversion }, raw: number): Converted {
  const { conversion } = channel;
  switch (conversion.kind) {
    case 'line':
    case 'table':
      return convertPoints(conversion, raw);
    case 'polynomial':
      return convertPolynomial(conversion, raw);
    case 'loop':
      return convertLoop(conversion, raw);
    case 'thermistor':
      return convertThermistor(conversion, raw);
    case 'direct':
      return convertDirect(conversion, raw);
  }
}

/** What the channel is calibrated for, or its instrument can tell: SI, ascending, as it reads; undefined where nobody has said. */
export function conversionRange(conversion: Conversion): readonly [number, number] | undefined {
  switch (conversion.kind) {
    case 'line':
    case 'table':
      return pointsRange(conversion);
    case 'polynomial':
      return polynomialRange(conversion);
    case 'loop':
      return loopRange(conversion);
    case 'thermistor':
      return thermistorRange;
    case 'direct':
      return directRange(conversion);
  }
}
