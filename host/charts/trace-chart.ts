import type { Chart, Layer } from './chart.ts';

export interface TraceOf {
  /** Such as `Reservoir pressure`. */
  readonly title: string;
  /** An absolute one. */
  readonly isPressure: boolean;
  readonly unit: string;
  /** What 0 of the time axis is, such as `09:31:22 UTC on 2026-03-14`. */
  readonly until: string;
  /** How much is drawn, s. */
  readonly lengthS: number;
  /** Against `until`, s: negative before it; ascending. */
  readonly timesS: readonly number[];
  /** In the unit; null where nothing came. */
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
  readonly marks: readonly { readonly atS: number; readonly label: string }[];
}

/** A scrolling trace as it stood at one moment: the range between the lowest and the highest sample of each run. */
export function traceChart({ title, isPressure, unit, until, lengthS, timesS, min, max, marks }: TraceOf): Chart {
  const said = isPressure ? `${title}, absolute` : title;
  const points = timesS.map((x, i) => ({ x, low: min[i] ?? Number.NaN, high: max[i] ?? Number.NaN }));
  const firings = marks.map(({ atS, label }): Layer => ({ kind: 'rule', look: 4, axis: 'x', at: atS, label }));
  return {
    title: `${title} until ${until}`,
    description: `${said}: lowest and highest sample of each run, over the ${lengthS} s before ${until}.`,
    x: { label: `Before (−) ${until}`, unit: 's', span: [-lengthS, 0] },
    y: { label: said, unit, ...(isPressure ? { least: 0 } : {}) },
    layers: [{ kind: 'band', look: 0, name: 'lowest to highest', points }, ...firings],
  };
}
