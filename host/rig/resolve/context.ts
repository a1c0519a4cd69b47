import type { Measure } from '../../../protocol/index.ts';
import type { Conversion } from '../conversion.ts';
import type { FieldReader, Report } from '../fields.ts';
import type { ChannelShape } from '../schema/channels.ts';
import type { Path } from '../source.ts';

/** What every kind of conversion is made from. */
export interface ConversionContext {
  readonly name: string;
  readonly shape: ChannelShape;
  /** undefined where the file does not say, which is told elsewhere. */
  readonly measures: Measure | undefined;
  readonly path: Path;
  /** undefined where the board is not known, which is told elsewhere. */
  readonly isText?: boolean;
  /** The largest count; undefined for a text instrument, and where the board is not known. */
  readonly fullScale: number | undefined;
  readonly fields: FieldReader;
  readonly report: Report;
}

export interface ResolvedConversion {
  readonly conversion: Conversion;
  readonly reference: 'absolute' | 'gauge' | undefined;
}

/** Stands for what was reported as a problem. Its range is NaN, and so is any share of its span: no second problem comes of it. */
export const UNRESOLVED: ResolvedConversion = {
  conversion: { kind: 'direct', multiply: Number.NaN, add: Number.NaN, divide: Number.NaN, rangeSi: [Number.NaN, Number.NaN] },
  reference: undefined,
};

export function isUnresolved(conversion: Conversion): boolean {
  return conversion === UNRESOLVED.conversion;
}
