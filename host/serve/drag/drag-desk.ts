/** Who knows the drag: the session implements it, and works it out beside everything that must not wait. */
import type { DragReport } from '../../../protocol/index.ts';

export interface DragDesk {
  /** Of all shots so far; rejects with MapBusyError where too many wait already. */
  report(): Promise<DragReport>;
}
