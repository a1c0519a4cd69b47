/** Says a new alarm, once, to those who do not see the page. Ages, numbers and acknowledgements are not spoken. */

import { connection } from '../state/connection.ts';
import { boards } from '../state/live-state.ts';
import { healths, limits } from '../state/watches.ts';
import { alarmsOf } from '../text/alarms.ts';
import { plainName } from '../text/channel-kind.ts';
import { HEALTH_WORD } from '../text/health-words.ts';
import { standingLimits } from '../text/limit-words.ts';

export function AlarmVoice() {
  const standing = standingLimits(limits.value).filter(({ state }) => state === 'active');
  const unfit = Object.values(healths.value).filter(({ health }) => health !== 'healthy' && health !== 'waiting');
  return (
    <>
      <div class="for-ears" role="alert" aria-atomic="false" aria-relevant="additions">
        {connection.value === 'lost' && <p key="host">Connection to the host lost.</p>}
        {standing.map(({ id, severity, words }) => severity === 'alarm' && <p key={id}>Alarm: {words}</p>)}
        {alarmsOf(boards.value).map(({ key, title }) => (
          <p key={key}>{title}</p>
        ))}
      </div>
      <div class="for-ears" role="log" aria-label="Warnings" aria-relevant="additions">
        {standing.map(({ id, severity, words }) => severity === 'warning' && <p key={id}>Warning: {words}</p>)}
        {unfit.map(({ channel, health }) => (
          <p key={channel}>
            {plainName(channel)}: {HEALTH_WORD[health].toLowerCase()}.
          </p>
        ))}
      </div>
    </>
  );
}
