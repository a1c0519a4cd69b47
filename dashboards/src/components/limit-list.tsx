import { rig } from '../state/live-state.ts';
import { units } from '../state/preferences.ts';
import { limits } from '../state/watches.ts';
import { kindOf, plainName } from '../text/channel-kind.ts';
import { LIMIT_STATE_WORDS, limitText } from '../text/limit-words.ts';

/** What is watched over, whether or not it is passed now. */
export function LimitList() {
  const drawn = rig.value;
  if (!drawn || drawn.limits.length === 0) return null;
  return (
    <details class="budget">
      <summary>Limits that are watched: {drawn.limits.length}</summary>
      <p class="detail">
        Acknowledged here in the alarm strip, or by command with its id: <code>postern acknowledge ID</code>.
      </p>
      <ul class="limit-list">
        {drawn.limits.map((limit) => {
          const channel = drawn.channels.find(({ name }) => name === limit.channel);
          const state = limits.value[limit.id]?.state ?? 'clear';
          return (
            <li key={limit.id}>
              <strong>{LIMIT_STATE_WORDS[state]}</strong> {limit.severity === 'alarm' ? 'Alarm' : 'Warning'} <code>{limit.id}</code>:{' '}
              {plainName(limit.channel)} {channel ? limitText(limit, kindOf(channel), units.value) : ''}
              {limit.holdS > 0 && `, for ${limit.holdS} s`}. {limit.message}
            </li>
          );
        })}
      </ul>
    </details>
  );
}
