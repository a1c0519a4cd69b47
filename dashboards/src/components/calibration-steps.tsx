/** Before the shooting: what each instrument's calibration is worth today, and setting right what is not. */
import { useState } from 'preact/hooks';
import type { ChannelSummary } from '../../../protocol/index.ts';
import { adjusted, offsets } from '../state/crew.ts';
import { rig, session } from '../state/live-state.ts';
import { mayAct } from '../state/may-act.ts';
import { sessionNowNs } from '../state/page-clock.ts';
import { units } from '../state/preferences.ts';
import { calibrationText } from '../text/calibration-text.ts';
import { plainName } from '../text/channel-kind.ts';
import { offsetWords } from '../text/offset-words.ts';
import { clockText } from '../text/time-text.ts';
import { AdjustDialog } from './adjust-dialog.tsx';
import { OperatorBar } from './operator-bar.tsx';

export function CalibrationSteps() {
  const channels = [...(rig.value?.channels ?? [])].sort((a, b) => urgency(b) - urgency(a));
  const [adjusting, setAdjusting] = useState<ChannelSummary>();
  return (
    <section class="panel calibrations" aria-labelledby="calibrations-title">
      <h2 id="calibrations-title">Calibration</h2>
      <ol class="setting-right">
        <li>Vent by your own procedure, and prove at the vessel’s own gauge that it is empty. A reading here is no proof.</li>
        <li>Open to the air, see which channel is off zero by more than the rig file claims, and set it to zero.</li>
        <li>One that is overdue: two points against an instrument that you trust, or one that is back from calibration in its place.</li>
        <li>Enter new calibrations and their dates in the rig file: what is set right here counts for this session only.</li>
      </ol>
      <OperatorBar />
      {channels.length === 0 ? (
        <p class="empty">The rig file names no channel.</p>
      ) : (
        <ul class="calibration-list">
          {channels.map((channel) => (
            <Calibration key={channel.name} channel={channel} onAdjust={() => setAdjusting(channel)} />
          ))}
        </ul>
      )}
      {adjusting && <AdjustDialog key={adjusting.name} channel={adjusting} onDone={() => setAdjusting(undefined)} />}
    </section>
  );
}

const today = (): Date => new Date((session.value?.originUtcMs ?? Number.NaN) + sessionNowNs() / 1e6);
const isOffZero = ({ name }: ChannelSummary): boolean => offsets.value[name]?.verdict === 'beyond-claim';

/** What must be set right comes first; else the order is the rig file's. */
const urgency = (channel: ChannelSummary): number => (calibrationText(channel, today()).isOverdue ? 2 : 0) + (isOffZero(channel) ? 1 : 0);

function Calibration({ channel, onAdjust }: { readonly channel: ChannelSummary; readonly onAdjust: () => void }) {
  const { text, isOverdue } = calibrationText(channel, today());
  const name = plainName(channel.name);
  return (
    <li>
      <h3>
        {name} <small>{channel.board}</small>
      </h3>
      <p class={isOverdue ? 'loud' : ''}>
        {channel.calibratedOn === undefined ? 'No date of calibration in the rig file' : `Calibrated ${text}`}.
      </p>
      <p>{setRightText(channel)}</p>
      <OffZero channel={channel} />
      {mayAct.value && (
        <button type="button" aria-label={`Set right: ${name}`} onClick={onAdjust}>
          Set right
        </button>
      )}
    </li>
  );
}

function OffZero({ channel }: { readonly channel: ChannelSummary }) {
  const offset = offsets.value[channel.name];
  if (!offset) return null;
  const { text, isBeyondClaim } = offsetWords({ offset, remedy: 'zero it', system: units.value });
  return <p>Off zero: {isBeyondClaim ? <strong class="off-zero">{text}</strong> : text}.</p>;
}

function setRightText({ name }: ChannelSummary): string {
  const change = adjusted.value[name];
  if (!change) return 'Not set right in this session.';
  const at = clockText((session.value?.originUtcMs ?? Number.NaN) + change.atNs / 1e6);
  return `${change.act === 'zero' ? 'Set to zero' : 'Calibrated at two points'} by ${change.who} at ${at} UTC.`;
}
