/** Who replays recorded sessions beside a live one: the session implements it. */
import type { SideReplay, SideReplayAnswer } from '../../../protocol/index.ts';

export interface SideReplayDesk {
  /** One at a time: a new one ends the one before. */
  start(sessionId: string): Promise<SideReplayAnswer>;
  readonly running: SideReplay | undefined;
}
