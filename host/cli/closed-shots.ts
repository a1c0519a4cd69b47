import type { PipelineEvent, Shot } from '../../protocol/index.ts';

/**
 * The closed shots of one session, oldest first, without their traces: those are in the store, and a day of them would
 * fill the memory. An edge that comes late closes its shot again, in its old place.
 */
export class ClosedShots {
  readonly #shots: Shot[] = [];

  get all(): readonly Shot[] {
    return this.#shots;
  }

  take(event: PipelineEvent): void {
    if (event.type !== 'shot' || event.phase !== 'closed') return;
    const shot: Shot = { ...event.shot, traces: [] };
    const place = this.#shots.findLastIndex((known) => known.id === shot.id);
    if (place < 0) this.#shots.push(shot);
    else this.#shots[place] = shot;
  }
}
