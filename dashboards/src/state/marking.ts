/** Marking a camera's stills: which are open, what is marked in them. The pictures stay in this browser; only marked places are sent. */
import { computed, signal } from '@preact/signals';
import type { CameraTrack, PicturePoint } from '../../../protocol/index.ts';
import { readTrack, TRACK_FILE_BYTES_MAX } from '../../../protocol/track-file.ts';
import { frameOf } from '../text/frame-of.ts';

export interface Still {
  readonly file: File;
  /** As the camera counts; undefined until it is known. */
  readonly frame: number | undefined;
}

/** No hand marks more, and a browser lists no more. */
export const STILLS_MAX = 200;
/** Larger than any camera's picture; a browser that decodes it would run out of memory. */
const STILL_BYTES_MAX = 64 * 1024 * 1024;
const KINDS: ReadonlySet<string> = new Set(['image/png', 'image/jpeg']);

/** In the order of their frames. */
export const stills = signal<readonly Still[]>([]);
export const stillIndex = signal(0);
export const current = computed(() => stills.value[stillIndex.value]);
/** Of the still that is shown, px. */
export const cross = signal<PicturePoint>({ xPx: 0, yPx: 0 });
/** What the next place is: the ball, or the mark of that name. */
export const BALL = '';
export const target = signal(BALL);
/** By name. */
export const marks = signal<Readonly<Record<string, PicturePoint>>>({});
/** By frame. */
export const balls = signal<ReadonlyMap<number, PicturePoint>>(new Map());
export const openProblem = signal('');

export const track = computed<CameraTrack>(() => ({
  marks: Object.entries(marks.value).map(([name, { xPx, yPx }]) => ({ name, xPx, yPx })),
  frames: [...balls.value].sort(([a], [b]) => a - b).map(([frame, { xPx, yPx }]) => ({ frame, xPx, yPx })),
}));

/** Takes the place of the stills that were open; what was marked stays. */
export function openStills(files: readonly File[]): void {
  const fit = files.filter(({ type, size }) => KINDS.has(type) && size <= STILL_BYTES_MAX);
  const kept = fit.slice(0, STILLS_MAX);
  const left = files.length - kept.length;
  openProblem.value =
    left === 0 ? '' : `${left} of ${files.length} files are not opened: PNG or JPEG, at most 64 MB each, ${STILLS_MAX} at a time.`;
  const named = kept.map((file): Still => ({ file, frame: frameOf(file.name) }));
  stills.value = named.sort((a, b) => (a.frame ?? 0) - (b.frame ?? 0) || (a.file.name < b.file.name ? -1 : 1));
  stillIndex.value = 0;
}

/** What a program has found takes the place of what was marked: its frames, and those of its marks that it has. @param known  the camera's marks */
export async function openTrack(file: File, known: readonly string[]): Promise<void> {
  if (file.size > TRACK_FILE_BYTES_MAX) {
    openProblem.value = `${file.name} has ${file.size} bytes, and at most ${TRACK_FILE_BYTES_MAX} are read; is it a track?`;
    return;
  }
  const text = await file.text().catch(() => undefined);
  const read = text === undefined ? undefined : readTrack(text, known);
  if (read === undefined) openProblem.value = `${file.name} cannot be read any more; choose it again.`;
  else if (read.ok) {
    openProblem.value = '';
    balls.value = new Map(read.track.frames.map(({ frame, xPx, yPx }) => [frame, { xPx, yPx }]));
    marks.value = { ...marks.peek(), ...Object.fromEntries(read.track.marks.map(({ name, xPx, yPx }) => [name, { xPx, yPx }])) };
  } else {
    const [first] = read.problems;
    const more = read.problems.length > 1 ? ` ${read.problems.length - 1} more lines are wrong.` : '';
    const place = first && first.line > 0 ? `, line ${first.line}, column ${first.column}` : '';
    openProblem.value = `${file.name}${place}: ${first?.message}.${more} Nothing was taken from it.`;
  }
}

export function showStill(index: number): void {
  stillIndex.value = Math.min(Math.max(0, index), Math.max(0, stills.value.length - 1));
}

/** Where a file's name says a wrong number, or none. */
export function numberStill(frame: number): void {
  const before = current.peek();
  if (!before) return;
  const marked = before.frame === undefined ? undefined : balls.peek().get(before.frame);
  if (marked && before.frame !== undefined) {
    const moved = new Map(balls.peek());
    moved.delete(before.frame);
    balls.value = moved.set(frame, marked);
  }
  stills.value = stills.value.map((still) => (still === before ? { ...still, frame } : still));
}

/** @returns false where the still has no frame number yet */
export function setPlace(place: PicturePoint): boolean {
  cross.value = place;
  if (target.peek() !== BALL) {
    marks.value = { ...marks.peek(), [target.peek()]: place };
    return true;
  }
  const frame = current.peek()?.frame;
  if (frame === undefined) return false;
  balls.value = new Map(balls.peek()).set(frame, place);
  return true;
}

export function takeAway(what: { readonly mark: string } | { readonly frame: number }): void {
  if ('mark' in what) marks.value = Object.fromEntries(Object.entries(marks.peek()).filter(([name]) => name !== what.mark));
  else balls.value = new Map([...balls.peek()].filter(([frame]) => frame !== what.frame));
}

/** Marks belong to one camera; another sees others. */
export function clearMarks(): void {
  marks.value = {};
  balls.value = new Map();
  target.value = BALL;
}
