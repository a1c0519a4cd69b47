/** The shots up to the moment that a replay shows, for its page's table: those that the feed no longer holds, without traces. */
import type { SessionNs, Shot } from '../../../protocol/index.ts';
import type { ShotSource } from '../../serve/index.ts';
import type { SessionReading } from './session-reading.ts';

export function shotsOfReplay(reading: SessionReading, nowNs: () => SessionNs): ShotSource {
  const newestFirst = (): readonly Shot[] => [...reading.shotsAt(nowNs())].reverse();
  return {
    shots: ({ limit }) => Promise.resolve(limit === undefined ? newestFirst() : newestFirst().slice(0, limit)),
    shot: (id) => Promise.resolve(newestFirst().find((shot) => shot.id === id)),
  };
}
