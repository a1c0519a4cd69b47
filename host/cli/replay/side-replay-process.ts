/**
 * The process of a replay beside a live session: whatever reading a journal costs, the host that measures has nothing of
 * it. It ends with its host.
 */
import { writeFileSync } from 'node:fs';
import { setPriority } from 'node:os';
import { messageOf } from '../output.ts';
import { replayOnPage } from './on-page.ts';
import type { FromSideReplay, ToSideReplay } from './side-replay-messages.ts';

/** Of 19: whatever else runs here goes first. */
const NICENESS = 10;
/** Of 1000: where memory runs out, Linux takes this process and not the one that records (proc(5), oom_score_adj). */
const FIRST_TO_GO = '800';

const tell = (message: FromSideReplay): void => {
  if (process.connected) process.send?.(message, undefined, undefined, () => undefined);
};

const hostGone = new Promise<void>((resolve) => process.once('disconnect', () => resolve()));
giveWay();
process.once('message', ({ journal, listening }: ToSideReplay) => {
  const { port } = listening;
  const onServed = (served: number): void => tell({ port: served });
  const asked = { pace: 1, begin: {}, exit: false, corrected: undefined, quiet: true, port, listening, onServed, until: hostGone } as const;
  replayOnPage(journal, asked).then(
    ({ sessionId }) => {
      if (sessionId === '') tell({ why: 'its journal holds no session' });
      if (process.connected) process.disconnect();
    },
    (error: unknown) => {
      tell({ why: messageOf(error).replace(/[.\s]+$/, '') });
      if (process.connected) process.disconnect();
    },
  );
});

/** As far as the system lets it. */
function giveWay(): void {
  try {
    setPriority(NICENESS);
    writeFileSync('/proc/self/oom_score_adj', FIRST_TO_GO);
  } catch {
    // Not Linux, or not allowed: it replays all the same.
  }
}
