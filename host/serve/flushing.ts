/** When pages are sent what the feed has for them. */
import type { SessionNs } from '../../protocol/index.ts';
import type { LiveClients } from './live-clients.ts';
import type { LiveFeed } from './live-feed.ts';

/** Envelopes go at most ten times a second. */
const FLUSH_EVERY_MS = 100;

/** @returns what ends it, after all that is pending was sent */
export function startFlushing(feed: LiveFeed, clients: LiveClients, nowNs: () => SessionNs): () => void {
  const timer = setInterval(() => clients.flush(nowNs()), FLUSH_EVERY_MS);
  let urgent: NodeJS.Immediate | undefined;
  // Once what has arrived with it is taken too: one record may tell of several things.
  feed.onUrgent = () => {
    urgent ??= setImmediate(() => {
      urgent = undefined;
      clients.flushEvents(nowNs());
    });
  };
  return () => {
    clearInterval(timer);
    if (urgent) clearImmediate(urgent);
    feed.onUrgent = () => undefined;
    clients.flush(nowNs());
  };
}
