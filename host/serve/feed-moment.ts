import type { LiveBoard, SessionEvent, SessionNs, ShotEvent } from '../../protocol/index.ts';
import type { NewestBin } from './envelope-history.ts';
import type { PresentState } from './present-state.ts';
import type { RecentShots } from './recent-shots.ts';

/** What the feed holds at a moment, by reference: nothing in it is ever changed. Of the envelopes only where they end. */
export interface FeedMoment {
  readonly session: SessionEvent | undefined;
  readonly boards: Readonly<Record<string, LiveBoard>>;
  readonly shots: RecentShots;
  readonly phases: ReadonlyMap<string, ShotEvent['phase']>;
  readonly present: PresentState;
  readonly newestNs: SessionNs;
  /** By channel. */
  readonly newestBins: ReadonlyMap<string, NewestBin>;
}
