/** What the kinds of conversion have in common: quantities on the channel's scale, and raw numbers. */
import type { Measure } from '../../../protocol/index.ts';
import type { Dimension } from '../../units/index.ts';
import type { Level, Report } from '../fields.ts';
import type { Path } from '../source.ts';
import type { ConversionContext } from './context.ts';

export type MeasuredContext = ConversionContext & { readonly measures: Measure; readonly dimension: Dimension };

export function levelAt({ fields, dimension, path }: MeasuredContext, below: Path, text: string): Level {
  return fields.level([...path, ...below], text, dimension);
}

/**
 * Whether two values of one channel are stated against the same pressure, and that of the air against none.
 * @returns false where a problem was told
 */
export function checkReferences(
  { name, path, report }: Pick<MeasuredContext, 'name' | 'path' | 'report'>,
  what: { readonly one: string; readonly both: string },
  [low, high]: readonly [Level, Level],
  [lowAt, highAt]: readonly [Path, Path],
): boolean {
  if (low.reference !== undefined && high.reference !== undefined && low.reference !== high.reference) {
    report([...path, ...highAt], `one ${what.one} is ${low.reference} and the other ${high.reference}; state both the same way`);
    return false;
  }
  // Gauge readings get the ambient pressure added, and this channel is the ambient pressure.
  if (name === 'airPressure' && low.reference === 'gauge') {
    report([...path, ...lowAt], `the pressure of the air is gauge here; state ${what.both} absolute`);
    return false;
  }
  return true;
}

/** Raw numbers of one channel: counts within the converter's range or volts at it; or what a text instrument prints. */
export interface RawReader {
  /** NaN where a problem was told. */
  readonly read: (below: Path, value: number | string) => number;
  /** Volts a count; undefined where the file does not say. */
  readonly voltsPerCount: number | undefined;
}

export function rawReader({ shape, isText, fullScale, path, fields, report }: MeasuredContext): RawReader {
  const referenceV = shape.reference === undefined ? undefined : fields.amount([...path, 'reference'], shape.reference, 'voltage');
  if (isText && shape.reference !== undefined)
    report([...path, 'reference'], 'reference goes with the counts of a board, and a text instrument prints numbers; remove it', 'key');
  const voltsPerCount = referenceV === undefined ? undefined : referenceV / (fullScale ?? Number.NaN);
  const tellOnce = once(report);
  return {
    voltsPerCount,
    read: (below, value) => {
      const at = [...path, ...below];
      if (typeof value === 'number') return count(at, value, fullScale, report);
      if (isText) {
        report(at, `"${value}" is no number as the instrument prints it; write one without a unit`);
        return Number.NaN;
      }
      const volts = fields.plain(at, value, 'voltage', 'not negative');
      if (referenceV === undefined) {
        if (!Number.isNaN(volts))
          tellOnce(at, `"${value}" is in volts, and nothing says how many the full count is; add reference: with them`);
        return Number.NaN;
      }
      if (volts > referenceV) report(at, `"${value}" is above the ${referenceV} V that the full count stands for; correct one of the two`);
      return volts / (voltsPerCount ?? Number.NaN);
    },
  };
}

function count(at: Path, value: number, fullScale: number | undefined, report: Report): number {
  if (fullScale === undefined || (value >= 0 && value <= fullScale)) return value;
  report(at, `"${value}" is no count of this board; it gives 0 to ${fullScale}`);
  return Number.NaN;
}

function once(report: Report): Report {
  let told = false;
  return (...problem) => {
    if (!told) report(...problem);
    told = true;
  };
}
