/** How long a replay takes to be at another moment of a session, and whether it then is where playing would have brought it. */

import { ReplayPlayer } from '../../host/cli/replay/replay-player.ts';
import { SessionReading } from '../../host/cli/replay/session-reading.ts';
import { LiveFeed } from '../../host/serve/index.ts';
import type { SessionNs } from '../../protocol/index.ts';

export interface ReadAhead {
  readonly reading: SessionReading;
  readonly tookMs: number;
}

/** All of it at once, as the first scan does while nothing else is asked of the machine. */
export function readAhead(path: string): ReadAhead {
  const reading = new SessionReading(path);
  const startedMs = performance.now();
  while (reading.readFor(1_000));
  return { reading, tookMs: performance.now() - startedMs };
}

export interface Seeker {
  /** @returns ms until the feed was there */
  to(atNs: SessionNs): Promise<number>;
  readonly feed: LiveFeed;
  close(): Promise<void>;
}

export function seekerOf(reading: SessionReading): Seeker {
  const feed = new LiveFeed({ mode: 'replay' });
  const player = new ReplayPlayer({ feed, reading, onEvent: () => undefined }, { speed: 1, playing: false });
  player.start();
  return {
    feed,
    async to(atNs) {
      const startedMs = performance.now();
      await player.seek(atNs);
      return performance.now() - startedMs;
    },
    close: () => player.close(),
  };
}
