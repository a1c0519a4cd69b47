import type { Shot } from '../../../protocol/index.ts';
import type { RecordedShots } from './recorded-shots.ts';

/** What a replay came to. */
export interface Replayed {
  readonly sessionId: string;
  readonly shots: readonly Shot[];
  /** Where there was a corrected rig file: the same session as it was recorded. */
  readonly recorded: RecordedShots | undefined;
}
