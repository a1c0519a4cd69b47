/** What a replay can be told and asked: the command that replays implements it. */
import type { ReplayAnswer, ReplayCommand, ReplayMarks, RigComparison } from '../../../protocol/index.ts';

export interface ReplayDesk {
  take(command: ReplayCommand): ReplayAnswer;
  /** Of all shots read so far; undefined where there is no corrected rig file. */
  comparison(): RigComparison | undefined;
  /** Of those read so far, from that one on; bounded. */
  marks(from: number): ReplayMarks;
}
