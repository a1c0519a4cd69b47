/** Where the rig file is asked for: a live session and a replay implement it. */
import type { RigFileCheck, RigFileInForce } from '../../../protocol/index.ts';

export interface RigFileDesk {
  /** Undefined until there is one. */
  inForce(): RigFileInForce | undefined;
  /** As it lies on disk now; left out in a replay, whose rig file lies in the journal. */
  check?(): Promise<RigFileCheck>;
}
