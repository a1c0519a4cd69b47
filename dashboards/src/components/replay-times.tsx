import type { ReplayState } from '../../../protocol/index.ts';
import { session } from '../state/live-state.ts';
import { ageTick, sessionNowNs } from '../state/page-clock.ts';
import { sessionTime } from '../text/session-time.ts';
import { clockText } from '../text/time-text.ts';

/** Where a replay stands: in the session, and when that was. */
export function ReplayTimes({ state }: { readonly state: ReplayState }) {
  ageTick.value;
  const nowNs = sessionNowNs();
  const utcMs = (session.value?.originUtcMs ?? Number.NaN) + nowNs / 1e6;
  return (
    <dl class="replay-times figures">
      <div>
        <dt>Session time</dt>
        <dd>
          {sessionTime(nowNs, true)} <small>of {sessionTime(state.endNs)}</small>
        </dd>
      </div>
      <div>
        <dt>Recorded, UTC</dt>
        <dd>{clockText(utcMs)}</dd>
      </div>
    </dl>
  );
}
