/** Says that a limit is passed or a transducer unfit, once, to those who do not see the page; not that somebody has seen it. */

import { healths, limits } from '../state/watches.ts';
import { plainName } from '../text/channel-kind.ts';
import { HEALTH_WORD } from '../text/health-words.ts';
import { standingLimits } from '../text/limit-words.ts';
import { RecordingVoice } from './recording-alarm.tsx';

export function AlarmVoice() {
  const standing = standingLimits(limits.value).filter(({ state }) => state === 'active');
  const unfit = Object.values(healths.value).filter(({ health }) => health !== 'healthy' && health !== 'waiting');
  return (
    <>
      <div class="for-ears" role="alert" aria-atomic="false" aria-relevant="additions">
        <RecordingVoice />
        {standing.map(({ id, severity, words }) => severity === 'alarm' && <p key={id}>Alarm: {words}</p>)}
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
