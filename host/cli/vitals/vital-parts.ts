/** The parts of a host that its vitals are taken from. */
import type { SeriesState } from '../../../protocol/index.ts';
import type { JournalWriter } from '../../journal/index.ts';
import type { Store } from '../../store/index.ts';
import type { LoopDelayWatch } from './loop-delay.ts';
import type { SessionTally } from './session-tally.ts';

export interface VitalParts {
  readonly sessionId: string;
  readonly journal: Pick<JournalWriter, 'bytesWritten' | 'unsyncedBytes' | 'sinceSyncS' | 'problem'>;
  readonly store: Pick<Store, 'rowsWaiting' | 'dropped'>;
  readonly tally: SessionTally;
  readonly loop: Pick<LoopDelayWatch, 'delayS'>;
  readonly log: { readonly linesDropped: number } | undefined;
  /** Left out where nothing is sent. */
  readonly series?: { state(): SeriesState | undefined };
}
