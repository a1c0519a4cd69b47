import type { ReplayState } from '../../../protocol/index.ts';
import { token } from '../state/keys.ts';
import { addressProblem } from '../state/replay-place.ts';
import { OnlyLooks } from './replay-bar.tsx';
import { ReplayControls } from './replay-controls.tsx';
import { ReplayLanes } from './replay-lanes.tsx';
import { ReplayTimes } from './replay-times.tsx';
import { ReplayWord } from './replay-word.tsx';

/** The replay on its own page: what moves it, and all that happened in the session in rows over one time line. */
export function ReplayPanel({ state }: { readonly state: ReplayState }) {
  return (
    <section class="panel replay-panel" aria-label="Replay">
      <div class="replay-head">
        <ReplayTimes state={state} />
        {token.value === undefined ? <OnlyLooks /> : <ReplayControls state={state} />}
      </div>
      {addressProblem.value !== '' && <p class="notice">{addressProblem.value}</p>}
      <ReplayLanes state={state} isFixed={token.value === undefined} />
      <ReplayWord state={state} />
      <p class="detail">The address of this page holds the moment that is shown: keep it, or send it to whoever has this replay open.</p>
    </section>
  );
}
