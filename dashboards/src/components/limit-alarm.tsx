import type { LimitEvent } from '../../../protocol/index.ts';
import { token } from '../state/keys.ts';
import { perform } from '../state/operator.ts';
import { plainName } from '../text/channel-kind.ts';
import { LIMIT_STATE_WORDS } from '../text/limit-words.ts';
import { Age } from './age.tsx';
import { SeverityMark } from './severity-mark.tsx';
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
