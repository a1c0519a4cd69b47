/**
 * What a session's time line is marked with beside its shots: alarms, hold points, links, notes, what the crew did and
 * what became of the instruments. Each mark says what the terminal of the session said.
 */
import type { LinkChange, PipelineEvent, ReplayMark, ReplayMarkKind } from '../../../protocol/index.ts';
import { EventLines } from '../text/event-lines.ts';

/** Beyond it no more are kept, and it is said how many. A link that comes and goes all night makes some thousands. */
export const MARKS_MAX = 5_000;
/** As long as a note may be, and room for who wrote it. */
export const MARK_CHARACTERS_MAX = 480;

/** Events that are told and are no shot. */
const KINDS: Readonly<Partial<Record<PipelineEvent['type'], ReplayMarkKind>>> = {
  limit: 'alarm',
  'rig-rejected': 'alarm',
  'hold-points': 'hold',
  link: 'link',
  board: 'link',
  'text-lines': 'link',
  note: 'note',
  adjusted: 'crew',
  impacts: 'crew',
  'shot-excluded': 'crew',
  'shot-camera': 'crew',
  'shot-weighed': 'crew',
  'act-refused': 'crew',
  health: 'instrument',
  weather: 'instrument',
  'blow-down': 'instrument',
  fill: 'instrument',
  offset: 'instrument',
};

/** What a link tries is on the terminal; here, what comes of it. */
const ON_THE_WAY: ReadonlySet<LinkChange> = new Set(['searching', 'opening']);

export class SessionMarks {
  readonly #lines = new EventLines();
  readonly #marks: ReplayMark[] = [];
  #leftOut = 0;

  get count(): number {
    return this.#marks.length;
  }

  get leftOut(): number {
    return this.#leftOut;
  }

  take(event: PipelineEvent): void {
    // All of them are heard: what is said of one follows from those before.
    const lines = this.#lines.of(event);
    const kind = KINDS[event.type];
    if (kind === undefined || (event.type === 'link' && ON_THE_WAY.has(event.change))) return;
    for (const { text, isTrouble } of lines) {
      if (this.#marks.length >= MARKS_MAX) this.#leftOut += 1;
      else this.#marks.push({ atNs: event.atNs, kind, text: clipped(text), isTrouble });
    }
  }

  /** @param from  of the first  @param limit  at most so many */
  slice(from: number, limit: number): readonly ReplayMark[] {
    return this.#marks.slice(from, from + limit);
  }
}

const clipped = (text: string): string => (text.length <= MARK_CHARACTERS_MAX ? text : `${text.slice(0, MARK_CHARACTERS_MAX - 1)}…`);
