/** Where shots are asked for: the store implements it; without one the feed's last shots answer. */
import type { Shot } from '../../protocol/index.ts';
import type { LiveFeed } from './live-feed.ts';

export interface ShotSource {
  /** Newest first. Traces may be left out. */
  shots(query: { readonly limit?: number }): Promise<readonly Shot[]>;
  /** @returns undefined where there is no such shot */
  shot(id: string): Promise<Shot | undefined>;
}

/** The feed's own shots, and behind them the store's: a store writes a moment later than a page asks. */
export function shotsOf(feed: LiveFeed, store: ShotSource | undefined): ShotSource {
  return {
    async shots(query) {
      const recent = feed.shots;
      const known = new Set(recent.map((shot) => shot.id));
      const stored = (await store?.shots(query)) ?? [];
      const all = [...recent, ...stored.filter((shot) => !known.has(shot.id))].sort((a, b) => (a.firedAt < b.firedAt ? 1 : -1));
      return query.limit === undefined ? all : all.slice(0, query.limit);
    },
    async shot(id) {
      return feed.shots.find((shot) => shot.id === id) ?? (await store?.shot(id));
    },
  };
}
