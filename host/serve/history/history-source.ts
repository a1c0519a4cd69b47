/** Where the past is asked for: the store implements it. */
import type { SessionNs, ShotTableRow, StoredAct } from '../../../protocol/index.ts';
import type { Span, StoredSession } from '../../store/index.ts';

export interface HistorySource {
  /** @throws (rejects) RangeError for a span, a number of points or of channels that is none */
  span(query: {
    readonly sessionId: string;
    readonly channels: readonly string[];
    readonly fromNs: SessionNs;
    readonly toNs: SessionNs;
    readonly points: number;
  }): Promise<Span>;
  /** All, newest first. */
  shotTable(): Promise<readonly ShotTableRow[]>;
  /** What was done to a shot, oldest first. */
  shotActs(id: string): Promise<readonly StoredAct[]>;
  /** Newest first. */
  sessions(): Promise<readonly StoredSession[]>;
}
