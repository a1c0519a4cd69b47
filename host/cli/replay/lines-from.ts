/** What the terminal says of a replay from where it begins; all before is heard, so that what follows is said as it would have been. */
import type { PipelineEvent, Shot } from '../../../protocol/index.ts';
import { CommandError, say, warn } from '../output.ts';
import { shotIdOf } from '../shots/shot-id.ts';
import { EventLines } from '../text/event-lines.ts';

export interface Begin {
  /** ns of the session. */
  readonly from?: number;
  /** Its number, or its id. */
  readonly shot?: string;
}

export class LinesFrom {
  readonly #lines = new EventLines();
  readonly #begin: Begin;
  #sessionId = '';
  #isBegun: boolean;

  constructor(begin: Begin) {
    this.#begin = begin;
    this.#isBegun = begin.from === undefined && begin.shot === undefined;
  }

  take(event: PipelineEvent): void {
    if (event.type === 'session') this.#sessionId = event.sessionId;
    const lines = this.#lines.of(event);
    this.#isBegun ||= this.#begins(event);
    if (!this.#isBegun) return;
    for (const { text, isTrouble } of lines) (isTrouble ? warn : say)(text);
  }

  #begins(event: PipelineEvent): boolean {
    const { from, shot } = this.#begin;
    if (from !== undefined) return event.atNs >= from;
    return shot !== undefined && event.type === 'shot' && event.shot.id === shotIdOf(shot, this.#sessionId);
  }
}

/** @throws CommandError where the session has no such shot */
export function foundIn<S extends Pick<Shot, 'id'>>(shot: string, sessionId: string, shots: readonly S[]): S {
  const found = shots.find(({ id }) => id === shotIdOf(shot, sessionId));
  if (found) return found;
  const has = shots.length === 0 ? 'it has none' : `its shots are ${shots[0]?.id} to ${shots.at(-1)?.id}`;
  throw new CommandError(`There is no shot ${shot} in session ${sessionId}; ${has}.`);
}
