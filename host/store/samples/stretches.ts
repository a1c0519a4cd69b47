/** Count, extremes and mean over stretches of one width, of several channels, added up in any order. */
export class Stretches {
  readonly #first: number;
  readonly #widthNs: number;
  readonly #channels = new Map<string, Columns>();

  /** @param count  of stretches, from `first` on; what lies outside is left out */
  constructor(
    channels: readonly string[],
    { first, count, widthNs }: { readonly first: number; readonly count: number; readonly widthNs: number },
  ) {
    this.#first = first;
    this.#widthNs = widthNs;
    for (const channel of channels) {
      const column = (fill: number): Float64Array => new Float64Array(count).fill(fill);
      this.#channels.set(channel, {
        n: column(0),
        min: column(Number.POSITIVE_INFINITY),
        max: column(Number.NEGATIVE_INFINITY),
        total: column(0),
      });
    }
  }

  /** Takes single samples of one channel. */
  sinkOf(channel: string): (atNs: number, valueSi: number) => void {
    const of = this.#channels.get(channel);
    if (!of) return () => undefined;
    const { n, min, max, total } = of;
    const [first, widthNs] = [this.#first, this.#widthNs];
    return (atNs, valueSi) => {
      const at = Math.floor(atNs / widthNs) - first;
      if (!(at >= 0 && at < n.length)) return;
      n[at] = (n[at] as number) + 1;
      if (valueSi < (min[at] as number)) min[at] = valueSi;
      if (valueSi > (max[at] as number)) max[at] = valueSi;
      total[at] = (total[at] as number) + valueSi;
    };
  }

  addSummary(channel: string, atNs: number, { n, min, max, total }: { n: number; min: number; max: number; total: number }): void {
    const of = this.#channels.get(channel);
    const at = Math.floor(atNs / this.#widthNs) - this.#first;
    if (!of || !(at >= 0 && at < of.n.length)) return;
    of.n[at] = (of.n[at] as number) + n;
    of.min[at] = Math.min(of.min[at] as number, min);
    of.max[at] = Math.max(of.max[at] as number, max);
    of.total[at] = (of.total[at] as number) + total;
  }

  /** Those without a sample are left out. */
  of(channel: string): { at: number[]; n: number[]; min: number[]; max: number[]; mean: number[] } {
    const out = { at: [] as number[], n: [] as number[], min: [] as number[], max: [] as number[], mean: [] as number[] };
    const of = this.#channels.get(channel);
    of?.n.forEach((n, i) => {
      if (n === 0) return;
      out.at.push(this.#first + i);
      out.n.push(n);
      out.min.push(of.min[i] as number);
      out.max.push(of.max[i] as number);
      out.mean.push((of.total[i] as number) / n);
    });
    return out;
  }
}

interface Columns {
  readonly n: Float64Array;
  readonly min: Float64Array;
  readonly max: Float64Array;
  readonly total: Float64Array;
}
