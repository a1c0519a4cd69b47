import type { LimitEvent } from '../../../protocol/index.ts';
import { token } from '../state/keys.ts';
import { perform } from '../state/operator.ts';
import { plainName } from '../text/channel-kind.ts';
import { LIMIT_STATE_WORDS } from '../text/limit-words.ts';
import { Age } from './age.tsx';
import { StripLine } from './strip-line.tsx';

/** One limit that is passed, or was and nobody has said that he saw it. Word and shape give the severity. */
export function LimitAlarm({ event }: { readonly event: LimitEvent }) {
  const { id, severity, state, words, channel, channelHealthy, acknowledgedBy, raisedAtNs } = event;
  const isUnseen = state !== 'active-acknowledged';
  return (
    <StripLine
      kind={`limit ${severity} ${isUnseen ? 'unseen' : 'seen'}`}
      about={words}
      mark={<SeverityMark severity={severity} />}
      act={
        isUnseen &&
        token.value !== undefined && (
          <button
            type="button"
            class="acknowledge"
            aria-label={`Acknowledge: ${words}`}
            onClick={() => void perform({ act: 'acknowledge', limitId: id }, 'Acknowledge')}
          >
            Acknowledge
          </button>
        )
      }
    >
      <strong>
        {severity === 'alarm' ? 'ALARM' : 'WARNING'} · {LIMIT_STATE_WORDS[state]}
      </strong>{' '}
      {plainName(channel)}: {words}
      {!channelHealthy && ' The transducer is not healthy: the value is in doubt.'}{' '}
      {acknowledgedBy !== undefined && `Seen by ${acknowledgedBy}. `}
      <Age atNs={raisedAtNs} before="Raised " after=" ago." />
    </StripLine>
  );
}

/** An alarm is an eight-cornered plate, a warning a triangle. */
function SeverityMark({ severity }: { readonly severity: LimitEvent['severity'] }) {
  return (
    <svg class="severity-mark" width="36" height="36" viewBox="0 0 36 36" aria-hidden="true">
      <path d={severity === 'alarm' ? 'M11 2h14l9 9v14l-9 9H11l-9-9V11z' : 'M18 3L35 33H1z'} />
      <path class="stroke" d={severity === 'alarm' ? 'M18 9v11M18 24v3.5' : 'M18 13v10M18 26v3'} />
    </svg>
  );
}
