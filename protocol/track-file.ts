/**
 * A track as text, from any program that writes one: a line a frame, `frame,x,y`, and a line a mark, `name,x,y`.
 *
 * Columns are parted by commas, semicolons or tabs, whichever the first line has. A first line `frame,x,y` is a heading
 * and may name the columns in another order, with further ones beside them; `#` begins a remark. Every line is judged;
 * each mistake is told by its line and column, and nothing is left out in silence.
 */
import { type CameraTrack, TRACK_LIMITS } from './camera-track.ts';

export const TRACK_FILE_BYTES_MAX = 256 * 1024;
const PROBLEMS_MAX = 20;
const SHOWN_CHARACTERS_MAX = 24;

export interface TrackProblem {
  /** 1-based; 0: of the file as a whole. */
  readonly line: number;
  /** 1-based, in characters. */
  readonly column: number;
  /** One plain sentence: what, and what to do. */
  readonly message: string;
}

export type TrackRead =
  | { readonly ok: true; readonly track: CameraTrack }
  | { readonly ok: false; readonly problems: readonly TrackProblem[] };

interface Cell {
  readonly text: string;
  readonly column: number;
}

interface Columns {
  readonly frame: number;
  readonly x: number;
  readonly y: number;
}

type Mark = CameraTrack['marks'][number];
type Frame = CameraTrack['frames'][number];

const FIRST_COLUMNS: Columns = { frame: 0, x: 1, y: 2 };
/** Plain decimals: no hexadecimal, no words such as Infinity. */
const NUMBER = /^[+-]?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})([eE][+-]?\d{1,2})?$/;
const WHOLE = /^\d{1,10}$/;
const NAME = /^[A-Za-z][A-Za-z0-9_-]{0,23}$/;

/**
 * @param text  at most 256 KiB
 * @param marks  names of the camera's marks in the rig file
 */
export function readTrack(text: string, marks: readonly string[]): TrackRead {
  const bytes = new TextEncoder().encode(text).length;
  if (bytes > TRACK_FILE_BYTES_MAX)
    return whole(`the file has ${bytes} bytes, and at most ${TRACK_FILE_BYTES_MAX} are read; is it a track?`);
  const reading = new Reading(marks);
  // A mark of byte order is no part of the first name.
  for (const [i, line] of text
    .replace(/^\ufeff/, '')
    .split(/\r\n|\n|\r/)
    .entries()) {
    reading.take(line, i + 1);
    if (reading.problems.length >= PROBLEMS_MAX) break;
  }
  return reading.finish();
}

const whole = (message: string): TrackRead => ({ ok: false, problems: [{ line: 0, column: 0, message }] });

class Reading {
  readonly problems: TrackProblem[] = [];
  readonly #known: readonly string[];
  readonly #marks = new Map<string, Mark>();
  readonly #frames = new Map<number, Frame>();
  #separator: string | undefined;
  #columns = FIRST_COLUMNS;
  #isFirst = true;

  constructor(known: readonly string[]) {
    this.#known = known;
  }

  take(text: string, line: number): void {
    if (text.trim() === '' || text.trimStart().startsWith('#')) return;
    this.#separator ??= [';', '\t', ','].find((each) => text.includes(each)) ?? ',';
    const cells = cellsOf(text, this.#separator);
    const isFirst = this.#isFirst;
    this.#isFirst = false;
    if (isFirst && this.#takeHeading(cells)) return;
    const { frame, x, y } = this.#columns;
    const [first, xCell, yCell] = [cells[frame], cells[x], cells[y]];
    if (!first || !xCell || !yCell) {
      const end = cells.at(-1);
      this.#tell(
        line,
        end ? end.column + end.text.length : 1,
        `${cells.length} columns stand here, and frame, x and y are needed; add what is missing`,
      );
      return;
    }
    const xPx = this.#pixel(xCell, line);
    const yPx = this.#pixel(yCell, line);
    const at = xPx === undefined || yPx === undefined ? undefined : { xPx, yPx };
    if (WHOLE.test(first.text)) this.#takeFrame(Number(first.text), first, at, line);
    else if (NAME.test(first.text)) this.#takeMark(first.text, first, at, line);
    else
      this.#tell(line, first.column, `${shown(first.text)} is neither a frame's number nor a mark's name; frames are whole numbers from 0`);
  }

  finish(): TrackRead {
    const frames = [...this.#frames.values()].sort((a, b) => a.frame - b.frame);
    const { problems } = this;
    if (problems.length === 0 && frames.length < TRACK_LIMITS.framesMin)
      problems.push({
        line: 0,
        column: 0,
        message: `the track has ${frames.length} frames, and ${TRACK_LIMITS.framesMin} are the least; mark more`,
      });
    if (problems.length > 0) return { ok: false, problems };
    return { ok: true, track: { marks: [...this.#marks.values()], frames } };
  }

  #takeHeading(cells: readonly Cell[]): boolean {
    const names = cells.map(({ text }) => text.toLowerCase());
    const place = (name: string): number => names.indexOf(name);
    const columns = { frame: place('frame'), x: place('x'), y: place('y') };
    if (Object.values(columns).some((index) => index < 0)) return false;
    this.#columns = columns;
    return true;
  }

  #takeFrame(frame: number, cell: Cell, at: { readonly xPx: number; readonly yPx: number } | undefined, line: number): void {
    if (frame > TRACK_LIMITS.frameMax) this.#tell(line, cell.column, `a frame's number is at most ${TRACK_LIMITS.frameMax}; correct it`);
    else if (this.#frames.has(frame)) this.#tell(line, cell.column, `frame ${frame} stands here a second time; keep one of the two`);
    else if (this.#frames.size >= TRACK_LIMITS.framesMax)
      this.#tell(line, cell.column, `this is more than ${TRACK_LIMITS.framesMax} frames; leave some out, evenly over the flight`);
    else if (at) this.#frames.set(frame, { frame, ...at });
  }

  #takeMark(name: string, cell: Cell, at: { readonly xPx: number; readonly yPx: number } | undefined, line: number): void {
    if (!this.#known.includes(name))
      this.#tell(line, cell.column, `the camera has no mark ${name}; those of the rig file are ${this.#known.join(', ')}`);
    else if (this.#marks.has(name)) this.#tell(line, cell.column, `mark ${name} stands here a second time; keep one of the two`);
    else if (at) this.#marks.set(name, { name, ...at });
  }

  #pixel({ text, column }: Cell, line: number): number | undefined {
    const value = NUMBER.test(text) ? Number(text) : Number.NaN;
    if (Math.abs(value) <= TRACK_LIMITS.pxMax) return value;
    const what = Number.isFinite(value)
      ? `lies outside every picture (${TRACK_LIMITS.pxMax} px)`
      : 'is no number; write it with a point, as 512.5';
    this.#tell(line, column, `${shown(text)} ${what}`);
    return undefined;
  }

  #tell(line: number, column: number, message: string): void {
    if (this.problems.length < PROBLEMS_MAX) this.problems.push({ line, column, message });
  }
}

function cellsOf(text: string, separator: string): readonly Cell[] {
  let from = 0;
  return text.split(separator).map((part) => {
    const column = from + 1 + (part.length - part.trimStart().length);
    from += part.length + separator.length;
    // As spreadsheets quote.
    return { text: part.trim().replace(/^"(.*)"$/, '$1'), column };
  });
}

function shown(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: a control character in somebody's file must not reach a terminal.
  const plain = text.replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, '?');
  return plain.length > SHOWN_CHARACTERS_MAX ? `"${plain.slice(0, SHOWN_CHARACTERS_MAX)}…"` : `"${plain}"`;
}
