import { formatParts } from '../../../host/units/index.ts';
import type { ChannelSummary } from '../../../protocol/index.ts';
import { adjusted } from '../state/crew.ts';
import { token } from '../state/keys.ts';
import { session } from '../state/live-state.ts';
import { sessionNowNs } from '../state/page-clock.ts';
import { units } from '../state/preferences.ts';
import { readAs } from '../state/read-as.ts';
import { calibrationText } from '../text/calibration-text.ts';
import { kindOf, plainName } from '../text/channel-kind.ts';
import { HEALTH_WORD } from '../text/health-words.ts';
import { clockText } from '../text/time-text.ts';
import { Age } from './age.tsx';

export interface ChannelRowProps {
  readonly channel: ChannelSummary;
  readonly onAdjust: () => void;
}

export function ChannelRow({ channel, onAdjust }: ChannelRowProps) {
  const { now, reference } = readAs(channel);
  const { value, uncertainty, symbol } = formatParts(now.si ?? Number.NaN, now.expandedSi, kindOf(channel), units.value);
  const isFit = now.health === 'healthy' || now.health === 'waiting';
  return (
    <tr>
      <th scope="row">
        {plainName(channel.name)}
        <span class="narrow-only">
          <span class="under">
            {channel.board}. <Calibration channel={channel} />
          </span>
          {token.value !== undefined && <AdjustButton name={channel.name} onAdjust={onAdjust} />}
        </span>
      </th>
      <td class="figures reads">
        {isFit ? (
          <>
            <b>{value}</b> {uncertainty !== '' && <span class="unbroken">{`± ${uncertainty} ${symbol} `}</span>}
            {uncertainty === '' && symbol} {reference}
          </>
        ) : (
          'no reading'
        )}
        {now.atNs !== undefined && (
          <span class="under">
            <Age atNs={now.atNs} before="age " />
          </span>
        )}
      </td>
      <td class={isFit ? '' : 'is-unfit'}>
        <span class="unbroken">{HEALTH_WORD[now.health]}</span>
        {now.trouble !== '' && (
          <span class="wide-only">
            <span class="under">{now.trouble}</span>
          </span>
        )}
      </td>
      <td class="wide-only">{channel.board}</td>
      <td class="wide-only">
        <Calibration channel={channel} />
      </td>
      <td class="wide-only">{token.value !== undefined ? <AdjustButton name={channel.name} onAdjust={onAdjust} /> : 'read only'}</td>
    </tr>
  );
}

function AdjustButton({ name, onAdjust }: { readonly name: string; readonly onAdjust: () => void }) {
  return (
    <button type="button" aria-label={`Set right: ${plainName(name)}`} onClick={onAdjust}>
      Set right
    </button>
  );
}

function Calibration({ channel }: { readonly channel: ChannelSummary }) {
  const originMs = session.value?.originUtcMs ?? Number.NaN;
  const { text, isOverdue } = calibrationText(channel, new Date(originMs + sessionNowNs() / 1e6));
  const change = adjusted.value[channel.name];
  return (
    <>
      <span class={isOverdue ? 'loud' : ''}>{text}</span>
      {change && (
        <span class="under">
          {change.act === 'zero' ? 'set to zero' : 'calibrated'} by {change.who}, {clockText(originMs + change.atNs / 1e6)}
        </span>
      )}
    </>
  );
}
