import type { PipelineEvent, Shot } from '../../protocol/index.ts';

/** The closed shots of one session, oldest first. An edge that comes late closes its shot again, in its old place. */
export class ClosedShots {
  readonly #shots: Shot[] = [];

  get all(): readonly Shot[] {
    return this.#shots;
  }

  take(event: PipelineEvent): void {
    if (event.type !== 'shot' || event.phase !== 'closed') return;
    const place = this.#shots.findLastIndex((known) => known.id === event.shot.id);
    if (place < 0) this.#shots.push(event.shot);
    else this.#shots[place] = event.shot;
  }
}
