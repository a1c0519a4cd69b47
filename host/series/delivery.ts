/**
 * Brings what a source gives to the server, in order, some batches at a time, and loses nothing: what was not taken is
 * asked of the source again. Nothing is kept in memory for it but places in the source.
 *
 * A server that is killed forgets what it had taken in its last seconds, so after any loss of it or of a connection the
 * source is taken back to what had been taken well before. Where that happens again and again it is done so seldom that
 * sending gets on all the same, and the oldest such place is kept until it is.
 */
import { type PickedOutcome, type PickySender, type Refusal, shortLine } from './refusals.ts';
import { IN_FLIGHT_MAX } from './sender.ts';

/** What was taken longer ago than that, a server has on its disk. */
export const SETTLED_AFTER_MS = 10_000;
/** More than that, so that each such return is outdone before the next. */
export const RETURN_EVERY_MS = 15_000;
const WAIT_MS = { first: 500, longest: 30_000, idle: 50 };
/** One place a second is enough to return to. */
const TRAIL_STEP_MS = 1_000;

export interface Batch<Place> {
  readonly lines: readonly string[];
  /** From where the source would go on after it. */
  readonly after: Place;
}

export interface Source<Place> {
  /** @returns idle: nothing now; end: nothing any more */
  next(): Batch<Place> | 'busy' | 'idle' | 'end';
  returnTo(place: Place): void;
}

export interface DeliveryPorts {
  readonly nowMs: () => number;
  /** Resolves after that time, or sooner where the signal says so. */
  readonly wait: (ms: number, signal: AbortSignal) => Promise<void>;
  /** Between two returns to what had settled, at least, ms. */
  readonly returnEveryMs: number;
  /** Lets everything else have its turn. */
  readonly breathe: () => Promise<void>;
}

export interface DeliveryCounts {
  readonly taken: number;
  readonly refused: number;
  /** Newest last, a few. */
  readonly refusals: readonly Refusal[];
  /** Why nothing is sent at present, one sentence's middle; empty where it is. */
  readonly problem: string;
}

const REFUSALS_KEPT = 8;

interface UnderWay<Place> {
  readonly batch: Batch<Place>;
  outcome: PickedOutcome | undefined;
}

export class Delivery<Place> {
  readonly #source: Source<Place>;
  readonly #sender: PickySender;
  readonly #ports: DeliveryPorts;
  readonly #inFlight: UnderWay<Place>[] = [];
  /** Places up to which all was taken, with when, oldest first; the first of them has settled. */
  readonly #trail: { place: Place; atMs: number }[];
  #taken: Place;
  #takenAtMs = Number.NEGATIVE_INFINITY;
  /** The settled place at a loss that has not been returned to yet. */
  #owed: { readonly place: Place } | undefined;
  #returnedAtMs = Number.NEGATIVE_INFINITY;
  #settledOne: (() => void) | undefined;
  #later: Extract<PickedOutcome['outcome'], { what: 'later' }> | undefined;
  #failures = 0;
  #problem = '';
  #countTaken = 0;
  #countRefused = 0;
  #refusals: readonly Refusal[] = [];

  constructor(source: Source<Place>, sender: PickySender, start: Place, ports: DeliveryPorts) {
    this.#source = source;
    this.#sender = sender;
    this.#ports = ports;
    this.#taken = start;
    this.#trail = [{ place: start, atMs: Number.NEGATIVE_INFINITY }];
  }

  get counts(): DeliveryCounts {
    return {
      taken: this.#countTaken,
      refused: this.#countRefused,
      refusals: this.#refusals,
      problem: this.#problem,
    };
  }

  /** Up to here all was taken. */
  get takenTo(): Place {
    return this.#taken;
  }

  /** Up to here it was taken so long ago that no end of the server can have lost it. */
  get settledTo(): Place {
    return this.#owed?.place ?? this.#takenBefore(this.#ports.nowMs() - SETTLED_AFTER_MS);
  }

  /** Something must be sent again, though the source may be at its end. */
  get isOwing(): boolean {
    return this.#owed !== undefined;
  }

  /** A connection ended by itself, just now: the server may have, too. */
  connectionLost(): void {
    this.#owed ??= { place: this.settledTo };
  }

  /** Resolves at the source's end with all taken (true), or when the signal says stop (false). */
  async run(signal: AbortSignal): Promise<boolean> {
    while (!signal.aborted) {
      if (this.#later) await this.#recover(signal);
      else if (this.#isReturnDue()) await this.#return();
      else if (this.#inFlight.length >= (this.#failures > 0 ? 1 : IN_FLIGHT_MAX)) await this.#anySettled(signal);
      else if (await this.#step(signal)) return true;
    }
    return false;
  }

  /** @returns true at the end of everything */
  async #step(signal: AbortSignal): Promise<boolean> {
    const next = this.#source.next();
    if (next === 'busy') await this.#ports.breathe();
    else if (next === 'end' && this.#inFlight.length === 0) {
      if (!this.#owed) return true;
      // Whatever the last seconds brought must be sent again, and that not too often.
      await this.#ports.wait(WAIT_MS.idle, signal);
    } else if (next === 'idle' || next === 'end') {
      if (this.#inFlight.length > 0) await this.#anySettled(signal, WAIT_MS.idle);
      else await this.#ports.wait(WAIT_MS.idle, signal);
    } else {
      this.#send(next);
      await this.#ports.breathe();
    }
    return false;
  }

  #send(batch: Batch<Place>): void {
    const entry: UnderWay<Place> = { batch, outcome: undefined };
    this.#inFlight.push(entry);
    const settle = (outcome: PickedOutcome): void => {
      entry.outcome = outcome;
      this.#heed();
      this.#settledOne?.();
    };
    const failed = (error: unknown): void =>
      settle({ outcome: { what: 'later', reason: String(error), isLost: true }, refused: 0, refusals: [] });
    this.#sender.send(batch.lines).then(settle, failed);
  }

  /** Takes note of what has become of the eldest batches. */
  #heed(): void {
    for (let first = this.#inFlight[0]; first?.outcome !== undefined && !this.#later; first = this.#inFlight[0]) {
      const { batch, outcome: picked } = first;
      if (picked.outcome.what === 'later') {
        this.#later = picked.outcome;
        this.#problem = picked.outcome.reason;
        return;
      }
      this.#inFlight.shift();
      this.#failures = 0;
      this.#problem = '';
      this.#countRefused += picked.refused;
      this.#countTaken += batch.lines.length - picked.refused;
      if (picked.refusals.length > 0) {
        const shown = picked.refusals.map(({ line, reason }) => ({ line: shortLine(line), reason }));
        this.#refusals = [...this.#refusals, ...shown].slice(-REFUSALS_KEPT);
      }
      this.#taken = batch.after;
      this.#takenAtMs = this.#ports.nowMs();
      const last = this.#trail.at(-1);
      const beforeLast = this.#trail.at(-2);
      // The newest place stands at the end; it replaces the one before it until that is a step away.
      if (last && beforeLast && last.atMs - beforeLast.atMs < TRAIL_STEP_MS) this.#trail.pop();
      this.#trail.push({ place: batch.after, atMs: this.#takenAtMs });
      // Of all that was settled by then only the newest is of use.
      while ((this.#trail[1]?.atMs ?? Number.POSITIVE_INFINITY) <= this.#takenAtMs - SETTLED_AFTER_MS) this.#trail.shift();
    }
  }

  #takenBefore(atMs: number): Place {
    return (this.#trail.findLast((step) => step.atMs <= atMs) ?? (this.#trail[0] as { place: Place })).place;
  }

  /** Waits for what is under way, then as long as the server asks or as is fit, and begins again with one batch. */
  async #recover(signal: AbortSignal): Promise<void> {
    while (this.#inFlight.some(({ outcome }) => outcome === undefined) && !signal.aborted) await this.#anySettled(signal);
    const later = this.#later;
    if (signal.aborted || !later) return;
    // What of them was taken behind the one that was not is sent again with it.
    const isLost = this.#inFlight.some(({ outcome }) => outcome?.outcome.what === 'later' && outcome.outcome.isLost);
    this.#inFlight.length = 0;
    // When it was lost nobody knows, but it was there when it took the last batch.
    if (isLost) this.#owed ??= { place: this.#takenBefore(this.#takenAtMs - SETTLED_AFTER_MS) };
    this.#failures += 1;
    const backoffMs = Math.min(WAIT_MS.longest, WAIT_MS.first * 2 ** Math.min(10, this.#failures - 1));
    await this.#ports.wait(later.retryAfterS === undefined ? backoffMs : Math.max(WAIT_MS.first, later.retryAfterS * 1000), signal);
    if (signal.aborted) return;
    this.#later = undefined;
    if (this.#isReturnDue()) await this.#return();
    else this.#source.returnTo(this.#taken);
  }

  #isReturnDue(): boolean {
    return this.#owed !== undefined && this.#ports.nowMs() - this.#returnedAtMs >= this.#ports.returnEveryMs;
  }

  async #return(): Promise<void> {
    const owed = this.#owed;
    if (!owed) return;
    this.#owed = undefined;
    this.#returnedAtMs = this.#ports.nowMs();
    // Batches still under way are older than what comes now; they change nothing but must not count as progress.
    while (this.#inFlight.some(({ outcome }) => outcome === undefined)) await this.#anySettled();
    if (this.#later) {
      this.#owed ??= owed;
      return;
    }
    this.#trail.splice(0, this.#trail.length, { place: owed.place, atMs: Number.NEGATIVE_INFINITY });
    this.#taken = owed.place;
    this.#source.returnTo(owed.place);
  }

  async #anySettled(signal?: AbortSignal, atMostMs?: number): Promise<void> {
    const settled = new Promise<void>((resolve) => {
      this.#settledOne = resolve;
    });
    const stop = new AbortController();
    const onAbort = (): void => stop.abort();
    signal?.addEventListener('abort', onAbort, { once: true });
    const waits = [settled, ...(atMostMs === undefined && !signal ? [] : [this.#ports.wait(atMostMs ?? 3_600_000, stop.signal)])];
    await Promise.race(waits);
    stop.abort();
    signal?.removeEventListener('abort', onAbort);
    this.#settledOne = undefined;
  }
}
