/** What moves a replay, above every page that has not all of it: play and pause, speed, shot by shot, and any moment of the session. */
import { token } from '../state/keys.ts';
import { path } from '../state/place.ts';
import { replay } from '../state/replay.ts';
import { REPLAY_PATH } from '../state/replay-place.ts';
import { ReplayControls } from './replay-controls.tsx';
import { ReplayTimeLine } from './replay-time-line.tsx';
import { ReplayTimes } from './replay-times.tsx';
import { ReplayWord } from './replay-word.tsx';

export function ReplayBar() {
  const state = replay.value;
  if (!state || path.value === REPLAY_PATH) return null;
  return (
    <section class="replay-bar" aria-label="Replay">
      <ReplayTimes state={state} />
      {token.value === undefined ? <OnlyLooks /> : <ReplayControls state={state} />}
      <ReplayTimeLine state={state} isFixed={token.value === undefined} />
      <ReplayWord state={state} />
    </section>
  );
}

export function OnlyLooks() {
  return <p>This page may only look. To move the replay from here, open it by the address that its terminal printed.</p>;
}
