import type { ReplayState } from '../../../protocol/index.ts';
import { replayProblem } from '../state/replay.ts';
import { sessionTime } from '../text/session-time.ts';

/** What a replay waits for, or why it did not do the last thing that it was told. */
export function ReplayWord({ state }: { readonly state: ReplayState }) {
  return (
    <p class="replay-word" role="status">
      {wordsOf(state)}
    </p>
  );
}

function wordsOf({ seekingNs, readToNs, isRead, endNs }: ReplayState): string {
  if (seekingNs !== undefined && readToNs < seekingNs) {
    return `On its way to ${sessionTime(seekingNs)}: the journal has been read to ${sessionTime(readToNs)}.`;
  }
  if (replayProblem.value !== '') return replayProblem.value;
  return isRead ? '' : `Reading ahead: ${Math.floor((100 * readToNs) / Math.max(1, endNs))} %. What has been read can be gone to at once.`;
}
