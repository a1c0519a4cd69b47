/**
 * From events to windows. A window is cut by session time alone, never by when somebody asked or a disk was slow: what a
 * rebuild writes is what the live host wrote. A session's last windows come with its end.
 *
 * Bounded: a channel holds at most ten seconds of its samples, and no more than SAMPLES_MAX.
 */
import type { SamplesEvent } from '../../../protocol/index.ts';
import { CalibrationBook } from './calibration-book.ts';
import { type CountPiece, evenBlocks } from './even-blocks.ts';
import { type CalibrationRow, type Reading, type SampleWindow, WINDOW_NS } from './sample-window.ts';
import { coarser, type EvenSamples, merged, type SummaryRow, summarise } from './summaries.ts';

/** A window of a fast stream ends early. */
const SAMPLES_MAX = 20_000;
/** In ten seconds; so many samples are summarised by the tenth of a second too. */
const DENSE_SAMPLES = 400;
const TENTH_NS = 1e8;
/** In a minute. */
const WINDOWS = 60e9 / WINDOW_NS;

const SESSIONS_KEPT = 4;

interface Open {
  readonly book: CalibrationBook;
  readonly session: string;
  readonly channel: string;
  readonly stream: SamplesEvent['stream'];
  window: number;
  pieces: (EvenSamples & Partial<CountPiece>)[];
  calibrations: CalibrationRow[];
  samples: number;
  /** The minute that runs. */
  minute: SummaryRow | undefined;
}

export class SampleIntake {
  readonly #open = new Map<string, Open>();
  readonly #books = new Map<string, CalibrationBook>();
  /** Sessions whose books hold values, the newest last. */
  #recent: string[] = [];

  /** @returns the windows that these samples have ended */
  take(session: string, event: SamplesEvent): SampleWindow[] {
    const ended: SampleWindow[] = [];
    const open = this.#openFor(session, event);
    for (const part of atWindows(event)) {
      const window = windowOf(part.fromNs);
      if (window !== open.window || open.samples >= SAMPLES_MAX) {
        // What was fetched late makes a small window of its own, and a second one for the rest of the running ten seconds.
        const done = end(open);
        if (done) ended.push(done);
        open.window = window;
      }
      this.#keep(open, part);
    }
    return ended;
  }

  /** Ends all windows of a session, or of all. */
  flush(session?: string): SampleWindow[] {
    const ended: SampleWindow[] = [];
    for (const [key, open] of this.#open) {
      if (session !== undefined && open.session !== session) continue;
      const done = end(open, true);
      if (done) ended.push(done);
      this.#open.delete(key);
    }
    return ended;
  }

  /** As if it had never been heard of. */
  forget(session: string): void {
    for (const [key, open] of this.#open) if (open.session === session) this.#open.delete(key);
    for (const key of this.#books.keys()) if (key.startsWith(keyOf(session, ''))) this.#books.delete(key);
  }

  #openFor(session: string, { channel, stream }: SamplesEvent): Open {
    const known = this.#open.get(keyOf(session, channel, stream));
    if (known) return known;
    this.#releaseOthers(session);
    // A channel's counts mean the same in both of its streams.
    const bookKey = keyOf(session, channel);
    const book = this.#books.get(bookKey) ?? new CalibrationBook();
    this.#books.set(bookKey, book);
    const made = { book, session, channel, stream, window: Number.NaN, pieces: [], calibrations: [], samples: 0, minute: undefined };
    this.#open.set(keyOf(session, channel, stream), made);
    return made;
  }

  /** Books are half a megabyte each: a rebuild of a thousand sessions keeps those of the newest few. */
  #releaseOthers(session: string): void {
    if (this.#recent.at(-1) === session) return;
    this.#recent = [...this.#recent.filter((each) => each !== session), session];
    if (this.#recent.length <= SESSIONS_KEPT) return;
    const [eldest = ''] = this.#recent.splice(0, 1);
    for (const [key, book] of this.#books) if (key.startsWith(keyOf(eldest, ''))) book.release();
  }

  #keep(open: Open, part: Part): void {
    const { fromNs, periodNs, valuesSi, counts, addedSi = 0 } = part;
    const counted = counts && open.book.take(counts, valuesSi, addedSi);
    open.samples += valuesSi.length;
    if (!counts || !counted) {
      open.pieces.push({ fromNs, periodNs, valuesSi });
      return;
    }
    if (counted.fresh.length > 0) open.calibrations.push(...counted.fresh);
    open.pieces.push({ fromNs, periodNs, valuesSi, counts, addedSi, calibration: counted.calibration });
  }
}

/** None of a session's name, or of a channel's, has this character in it that a person could have meant. */
const PARTED = '\u0000';
const keyOf = (...parts: readonly string[]): string => parts.join(PARTED);

type Part = Pick<SamplesEvent, 'fromNs' | 'periodNs' | 'valuesSi' | 'counts' | 'addedSi'>;

const windowOf = (atNs: number): number => Math.floor(atNs / WINDOW_NS);

/** Cut where a window ends. */
function atWindows(event: SamplesEvent): Part[] {
  const { fromNs, periodNs, valuesSi, counts, addedSi } = event;
  const n = valuesSi.length;
  if (n === 0) return [];
  if (n <= SAMPLES_MAX && windowOf(fromNs) === windowOf(fromNs + (n - 1) * periodNs)) return [event];
  const parts: Part[] = [];
  let begin = 0;
  for (let i = 1; i <= n; i++) {
    if (i < n && i - begin < SAMPLES_MAX && windowOf(fromNs + i * periodNs) === windowOf(fromNs + begin * periodNs)) continue;
    parts.push({
      fromNs: fromNs + begin * periodNs,
      periodNs,
      valuesSi: valuesSi.slice(begin, i),
      ...(counts ? { counts: counts.slice(begin, i), addedSi: addedSi ?? 0 } : {}),
    });
    begin = i;
  }
  return parts;
}

function end(open: Open, isLast = false): SampleWindow | undefined {
  const { session, channel, stream, samples, calibrations } = open;
  const pieces = open.pieces.sort((a, b) => a.fromNs - b.fromNs);
  open.pieces = [];
  open.calibrations = [];
  open.samples = 0;
  const dense = samples >= DENSE_SAMPLES;
  const summed = stream === 'slow' ? summarise(pieces, TENTH_NS) : [];
  const seconds = coarser(summed, 1e9 / TENTH_NS);
  const tens = coarser(seconds, WINDOW_NS / 1e9);
  const minutes = tens.flatMap((ten) => minuteEndedBy(open, ten));
  if (isLast && open.minute) minutes.push(open.minute);
  if (pieces.length === 0 && minutes.length === 0) return undefined;
  return {
    session,
    channel,
    stream,
    blocks: evenBlocks(pieces.filter(isCounted)),
    readings: pieces.filter((piece) => !isCounted(piece)).flatMap(readingsOf),
    calibrations,
    dense,
    tenths: dense ? summed : [],
    seconds,
    tens,
    minutes,
    samples,
  };
}

const isCounted = (piece: EvenSamples & Partial<CountPiece>): piece is EvenSamples & CountPiece => piece.counts !== undefined;

const readingsOf = ({ fromNs, periodNs, valuesSi }: EvenSamples): Reading[] =>
  valuesSi.map((valueSi, i) => ({ atNs: Math.round(fromNs + i * periodNs), valueSi })).filter(({ valueSi }) => Number.isFinite(valueSi));

function minuteEndedBy(open: Open, ten: SummaryRow): SummaryRow[] {
  const [row] = coarser([ten], WINDOWS);
  if (!row) return [];
  const before = open.minute;
  open.minute = before?.at === row.at ? merged(before, row) : row;
  return before && before.at !== row.at ? [before] : [];
}
