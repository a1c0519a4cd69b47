/**
 * Gives every point of a series a stamp of its own. A server keeps one point for one series and one stamp: of two events
 * of the same nanosecond, or of the same millisecond where that is all it can hold, the later takes the next free stamp.
 * The same records give the same stamps, so what is sent twice is the same point.
 */
import type { SessionNs } from '../../../protocol/index.ts';
import { nsStamp, type Resolution, type SessionOrigin, utcMsOf } from './utc-stamp.ts';

/** Milliseconds, both taken, that one run of samples has stamps in. */
type Run = readonly [from: number, to: number];

/** A block that a board sends again is seldom older than the last few. */
const RUNS_KEPT = 32;

export class StampBook {
  readonly #origin: SessionOrigin;
  readonly #resolution: Resolution;
  /** The newest stamp of each series: session ns, or UTC ms. As many as a rig file names. */
  readonly #newest: Map<string, number>;
  /** Of samples at milliseconds: what is taken, newest last, so that a block that comes late finds its gap. */
  readonly #runs: Map<string, readonly Run[]>;

  constructor(
    origin: SessionOrigin,
    resolution: Resolution,
    from: { readonly newest?: ReadonlyMap<string, number>; readonly runs?: ReadonlyMap<string, readonly Run[]> } = {},
  ) {
    this.#origin = origin;
    this.#resolution = resolution;
    this.#newest = new Map(from.newest);
    this.#runs = new Map(from.runs);
  }

  get resolution(): Resolution {
    return this.#resolution;
  }

  /** Of an event. */
  next(series: string, atNs: SessionNs): string {
    const at = this.#resolution === 'ns' ? atNs : utcMsOf(this.#origin, atNs);
    const stamp = Math.max(at, (this.#newest.get(series) ?? Number.NEGATIVE_INFINITY) + 1);
    this.#newest.set(series, stamp);
    return this.#resolution === 'ns' ? nsStamp(this.#origin, stamp) : String(stamp);
  }

  /** Of something that has a series of its own, such as a shot. @param revision  told again so many times: it stands so many steps later */
  fixed(atNs: SessionNs, revision: number): string {
    return this.#resolution === 'ns' ? nsStamp(this.#origin, atNs + revision) : String(utcMsOf(this.#origin, atNs) + revision);
  }

  /**
   * Of each sample of an evenly spaced block; undefined for one that the resolution has no room for.
   * At milliseconds each takes the one it lies in or, being no faster than that, the next: a board's clock beats with the
   * milliseconds, and two samples in one would else cost one of them. Of faster samples the first of each millisecond stays.
   */
  block(series: string, fromNs: SessionNs, periodNs: number, count: number): readonly (string | undefined)[] {
    const stamps: (string | undefined)[] = [];
    if (this.#resolution === 'ns') {
      for (let i = 0; i < count; i++) stamps.push(nsStamp(this.#origin, Math.round(fromNs + i * periodNs)));
      return stamps;
    }
    const runs = this.#runs.get(series) ?? [];
    const step = periodNs >= 0.99e6 ? 1 : 0;
    let from: number | undefined;
    let last = Number.NEGATIVE_INFINITY;
    const isFree = (stamp: number): boolean => stamp > last && !runs.some((run) => stamp >= run[0] && stamp <= run[1]);
    for (let i = 0; i < count; i++) {
      const at = utcMsOf(this.#origin, Math.round(fromNs + i * periodNs));
      const stamp = isFree(at) ? at : at + step;
      const fits = isFree(stamp);
      stamps.push(fits ? String(stamp) : undefined);
      if (fits) last = stamp;
      if (fits) from ??= stamp;
    }
    if (from !== undefined) this.#runs.set(series, withRun(runs, [from, last], (1.5 * periodNs) / 1e6));
    return stamps;
  }

  /** As it is now, for going back to. */
  copy(): StampBook {
    return new StampBook(this.#origin, this.#resolution, { newest: this.#newest, runs: this.#runs });
  }
}

/** @param gapMs  runs no further apart than that have no block between them */
function withRun(runs: readonly Run[], run: Run, gapMs: number): readonly Run[] {
  const newest = runs.at(-1);
  if (newest && run[0] > newest[1] && run[0] - newest[1] <= Math.max(1, gapMs)) return [...runs.slice(0, -1), [newest[0], run[1]]];
  return [...runs, run].sort((a, b) => a[0] - b[0]).slice(-RUNS_KEPT);
}
