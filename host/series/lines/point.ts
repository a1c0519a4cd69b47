/** A point before it is a line: checked by the compiler against the table of measurements. */
import { fieldsText, type LineField, type LineTags, seriesKey } from './line.ts';
import { MEASUREMENTS, type Measurement } from './measurements.ts';

export type FieldsOf<M extends Measurement> = {
  readonly [Name in keyof (typeof MEASUREMENTS)[M]['fields']]?: number | string | undefined;
};

export interface Point {
  readonly series: string;
  /** Never empty. */
  readonly fields: string;
}

/** What may be said of a point to a server. */
export interface PointDialect {
  /** false: the server keeps numbers only, and would make noughts of texts. */
  readonly keepsTexts: boolean;
}

/** @returns undefined where no field has a value that the server keeps */
export function pointOf<M extends Measurement>(
  measurement: M,
  tags: LineTags,
  values: FieldsOf<M>,
  { keepsTexts }: PointDialect,
): Point | undefined {
  const kinds: Readonly<Record<string, { readonly kind: LineField['kind'] }>> = MEASUREMENTS[measurement].fields;
  const given: Readonly<Record<string, number | string | undefined>> = values;
  const fields = Object.entries(kinds).flatMap(([name, { kind }]): LineField[] => {
    const value = given[name];
    if (value === undefined || value === '' || (kind === 'text' && !keepsTexts)) return [];
    return [{ name, kind, value }];
  });
  const text = fieldsText(fields);
  return text === '' ? undefined : { series: seriesKey(measurement, tags), fields: text };
}
