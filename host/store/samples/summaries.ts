/** Count, extremes and mean over whole stretches of session time. Pure. */

export interface SummaryRow {
  /** Which stretch: session time over its width, rounded down. */
  readonly at: number;
  readonly n: number;
  readonly min: number;
  readonly max: number;
  readonly mean: number;
}

/** Samples at even times; sample i is at fromNs + i × periodNs. */
export interface EvenSamples {
  readonly fromNs: number;
  readonly periodNs: number;
  readonly valuesSi: readonly number[];
}

/**
 * @param widthNs  of a stretch, > 0
 * @returns one row for each run of samples within one stretch, in their order; values that are not finite are left out
 */
export function summarise(samples: readonly EvenSamples[], widthNs: number): SummaryRow[] {
  const rows: SummaryRow[] = [];
  let at = Number.NaN;
  let n = 0;
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let sum = 0;
  const end = (): void => {
    if (n > 0) rows.push({ at, n, min, max, mean: sum / n });
    n = 0;
    min = Number.POSITIVE_INFINITY;
    max = Number.NEGATIVE_INFINITY;
    sum = 0;
  };
  for (const { fromNs, periodNs, valuesSi } of samples) {
    for (let i = 0; i < valuesSi.length; i++) {
      const value = valuesSi[i] as number;
      if (!Number.isFinite(value)) continue;
      const here = Math.floor((fromNs + i * periodNs) / widthNs);
      if (here !== at) end();
      at = here;
      n++;
      if (value < min) min = value;
      if (value > max) max = value;
      sum += value;
    }
  }
  end();
  return rows;
}

/** Rows of the same channel over stretches `times` as long; rows of one stretch that stand together are taken together. */
export function coarser(rows: readonly SummaryRow[], times: number): SummaryRow[] {
  const out: SummaryRow[] = [];
  for (const row of rows) {
    const at = Math.floor(row.at / times);
    const last = out.at(-1);
    if (last?.at === at) out[out.length - 1] = merged(last, row);
    else out.push({ ...row, at });
  }
  return out;
}

/** The two taken together, under the first one's stretch. */
export function merged(a: SummaryRow, b: SummaryRow): SummaryRow {
  const n = a.n + b.n;
  return { at: a.at, n, min: Math.min(a.min, b.min), max: Math.max(a.max, b.max), mean: (a.n * a.mean + b.n * b.mean) / n };
}
