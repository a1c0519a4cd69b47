/**
 * One session's events to lines. The same events give the same lines to the byte, from any copy on: whatever is sent
 * again after a server was lost is the same points, and not more of them.
 */
import type { PipelineEvent, RigSummary, SamplesEvent, SessionNs, ShotEvent } from '../../../protocol/index.ts';
import { eventPoint } from './event-points.ts';
import { type LineTags, numberText, seriesKey } from './line.ts';
import { type Point, type PointDialect, pointOf } from './point.ts';
import { RIG_STATE_EVERY_NS, RigTally } from './rig-tally.ts';
import { exclusionPoint, shotPoints } from './shot-points.ts';
import { StampBook } from './stamp-book.ts';
import { type Resolution, type SessionOrigin, utcMsOf } from './utc-stamp.ts';

export interface LineDialect extends PointDialect {
  readonly resolution: Resolution;
}

/** InfluxDB: nanoseconds, and texts beside numbers. */
export const NANOSECOND_LINES: LineDialect = { resolution: 'ns', keepsTexts: true };
/** VictoriaMetrics: milliseconds, and numbers only. */
export const MILLISECOND_LINES: LineDialect = { resolution: 'ms', keepsTexts: false };

interface TimedShot {
  readonly firedAtNs: SessionNs;
  readonly revision: number;
}

/** An edge that comes late opens only the newest of a session's shots again. */
const SHOTS_KEPT = 64;

/** What has changed so far; a copy of it is a point to go back to. */
interface Progress {
  readonly stamps: StampBook;
  readonly tally: RigTally;
  readonly shots: Map<string, TimedShot>;
  readonly rig: RigSummary | undefined;
  readonly sessionId: string;
  readonly toldAtNs: SessionNs;
  readonly thinned: number;
}

export class SessionLines {
  readonly #dialect: LineDialect;
  readonly #extra: LineTags;
  readonly #stamps: StampBook;
  readonly #tally: RigTally;
  readonly #shots: Map<string, TimedShot>;
  #rig: RigSummary | undefined;
  #sessionId: string;
  #toldAtNs: SessionNs;
  #thinned: number;
  /** Of the rig that is in force: common tags, and the series of samples by channel and stream. */
  #tags: LineTags = {};
  readonly #sampleSeries = new Map<string, string>();

  /** @param extra  tags of the rig file's own */
  constructor(options: { readonly origin: SessionOrigin; readonly dialect: LineDialect; readonly extra?: LineTags }, from?: Progress) {
    this.#dialect = options.dialect;
    this.#extra = options.extra ?? {};
    this.#stamps = from?.stamps.copy() ?? new StampBook(options.origin, options.dialect.resolution);
    this.#tally = from?.tally.copy() ?? new RigTally();
    this.#shots = new Map(from?.shots);
    this.#sessionId = from?.sessionId ?? '';
    this.#toldAtNs = from?.toldAtNs ?? Number.NEGATIVE_INFINITY;
    this.#thinned = from?.thinned ?? 0;
    this.#origin = options.origin;
    this.#useRig(from?.rig);
  }

  readonly #origin: SessionOrigin;

  /** Samples so far for which the server's resolution has no room. */
  get thinned(): number {
    return this.#thinned;
  }

  /** UTC of a session time, ms. */
  utcMs(atNs: SessionNs): number {
    return utcMsOf(this.#origin, atNs);
  }

  /** @returns the lines of one record's events, in their order; none before the session has a rig */
  take(events: readonly PipelineEvent[]): string[] {
    const lines: string[] = [];
    for (const event of events) {
      if (event.type === 'session') {
        this.#sessionId = event.sessionId;
        this.#useRig(event.rig);
      }
      if (this.#rig === undefined) continue;
      if (event.type === 'samples') this.#takeSamples(event, lines);
      else {
        this.#tally.take(event);
        this.#takeEvent(event, lines);
      }
    }
    return lines;
  }

  /** Time passes, whether or not anything happens: to be called with every anchor of the session's clock. */
  tick(atNs: SessionNs): string[] {
    if (this.#rig === undefined || atNs < this.#toldAtNs + RIG_STATE_EVERY_NS) return [];
    return this.#rigState(atNs, true);
  }

  /** The session is over. */
  end(atNs: SessionNs): string[] {
    return this.#rig === undefined ? [] : this.#rigState(atNs, false);
  }

  copy(): SessionLines {
    return new SessionLines(
      { origin: this.#origin, dialect: this.#dialect, extra: this.#extra },
      {
        stamps: this.#stamps,
        tally: this.#tally,
        shots: this.#shots,
        rig: this.#rig,
        sessionId: this.#sessionId,
        toldAtNs: this.#toldAtNs,
        thinned: this.#thinned,
      },
    );
  }

  #useRig(rig: RigSummary | undefined): void {
    this.#rig = rig;
    this.#tags = rig === undefined ? {} : { ...this.#extra, rig: rig.name, site: rig.site };
    this.#sampleSeries.clear();
  }

  #takeSamples({ channel, stream, fromNs, periodNs, valuesSi }: SamplesEvent, lines: string[]): void {
    const series = this.#seriesOf(channel, stream);
    const stamps = this.#stamps.block(series, fromNs, periodNs, valuesSi.length);
    for (let i = 0; i < valuesSi.length; i++) {
      const value = valuesSi[i] as number;
      if (stamps[i] === undefined) this.#thinned += 1;
      else if (Number.isFinite(value)) lines.push(`${series} value=${numberText(value)} ${stamps[i]}`);
    }
  }

  #seriesOf(channel: string, stream: string): string {
    const key = `${stream}/${channel}`;
    const known = this.#sampleSeries.get(key);
    if (known !== undefined) return known;
    const unit = this.#rig?.channels.find(({ name }) => name === channel)?.unit ?? '';
    const series = seriesKey('sample', { ...this.#tags, channel, stream, unit });
    this.#sampleSeries.set(key, series);
    return series;
  }

  #takeEvent(event: PipelineEvent, lines: string[]): void {
    if (event.type === 'shot') {
      if (event.phase === 'closed') this.#takeShot(event, lines);
      return;
    }
    const point =
      event.type === 'shot-excluded'
        ? exclusionPoint(event, this.#sessionId, this.#tags, this.#dialect)
        : eventPoint(event, this.#tags, this.#dialect);
    if (point !== undefined) lines.push(this.#lineOf(point, event.atNs));
  }

  /** Its stamp stays that of its first telling, though a later fit of the board's clock may move the firing a little. */
  #takeShot({ shot }: ShotEvent, lines: string[]): void {
    const known = this.#shots.get(shot.id);
    const timed = known ? { ...known, revision: known.revision + 1 } : { firedAtNs: shot.firedAtNs, revision: 0 };
    this.#shots.set(shot.id, timed);
    const [oldest] = this.#shots.keys();
    if (this.#shots.size > SHOTS_KEPT && oldest !== undefined) this.#shots.delete(oldest);
    const stamp = this.#stamps.fixed(timed.firedAtNs, timed.revision);
    for (const { series, fields } of shotPoints(shot, timed.revision, this.#tags, this.#dialect))
      lines.push(`${series} ${fields} ${stamp}`);
  }

  #rigState(atNs: SessionNs, open: boolean): string[] {
    this.#toldAtNs = atNs;
    const point = pointOf('rig_state', this.#tags, this.#tally.fields(open, this.#sessionId), this.#dialect);
    return point === undefined ? [] : [this.#lineOf(point, atNs)];
  }

  #lineOf({ series, fields }: Point, atNs: SessionNs): string {
    return `${series} ${fields} ${this.#stamps.next(series, atNs)}`;
  }
}
