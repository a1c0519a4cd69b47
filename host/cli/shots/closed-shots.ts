import { type PipelineEvent, type Shot, withCamerasAsked } from '../../../protocol/index.ts';
import { withCamera, withExclusion } from '../../serve/index.ts';

/**
 * The closed shots of one session, oldest first, with what was said of them since, and without their traces: those are in
 * the store, and a day of them would fill the memory. An edge that comes late closes its shot again, in its old place.
 */
export class ClosedShots {
  #shots: readonly Shot[] = [];

  get all(): readonly Shot[] {
    return this.#shots;
  }

  take(event: PipelineEvent): void {
    if (event.type === 'shot-excluded') this.#shots = withExclusion(this.#shots, event);
    else if (event.type === 'shot-camera') this.#shots = withCamera(this.#shots, event);
    else if (event.type === 'shot' && event.phase === 'closed') this.#shots = withTold(this.#shots, { ...event.shot, traces: [] });
  }
}

function withTold(shots: readonly Shot[], told: Shot): readonly Shot[] {
  const place = shots.findLastIndex(({ id }) => id === told.id);
  if (place < 0) return [...shots, told];
  // What was said beside holds on.
  const { exclusion, cameras } = shots[place] ?? {};
  return shots.with(place, withCamerasAsked({ ...told, ...(exclusion ? { exclusion } : {}), ...(cameras ? { cameras } : {}) }));
}
