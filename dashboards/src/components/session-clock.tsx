import { session } from '../state/live-state.ts';
import { ageTick, sessionNowNs } from '../state/page-clock.ts';
import { clockText, dateText } from '../text/time-text.ts';

/** The host's clock; in a replay, the time of the recording. */
export function SessionClock() {
  ageTick.value;
  const now = session.value;
  const utcMs = now ? now.originUtcMs + sessionNowNs() / 1e6 : Number.NaN;
  return (
    <div>
      <dt>{now?.mode === 'replay' ? 'Recorded, UTC' : 'UTC'}</dt>
      <dd class="figures">{now ? `${dateText(utcMs)} ${clockText(utcMs)}` : '–'}</dd>
    </div>
  );
}
