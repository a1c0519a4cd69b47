/** What was read, what it should have been, the adjustment before and after: and recording it. */
import { DISPLAY, formatParts } from '../../../host/units/index.ts';
import type { Adjustment, ChannelSummary } from '../../../protocol/index.ts';
import { type AdjustAct, type Adjusting, calibrated, type KnownPoint, UNADJUSTED, unadjustedSi, zeroed } from '../state/adjusting.ts';
import { adjusted } from '../state/crew.ts';
import { lastAct, perform, who } from '../state/operator.ts';
import { units } from '../state/preferences.ts';
import { readAs } from '../state/read-as.ts';
import { kindOf, plainName } from '../text/channel-kind.ts';

export interface AdjustReviewProps {
  readonly channel: ChannelSummary;
  readonly act: AdjustAct;
  /** One for a zero, two for a calibration. */
  readonly points: readonly KnownPoint[];
  readonly onRecorded: () => void;
  readonly onAgain: () => void;
}

export function AdjustReview({ channel, act, points, onRecorded, onAgain }: AdjustReviewProps) {
  const before = adjusted.value[channel.name]?.after ?? UNADJUSTED;
  const made = adjustingOf(act, before, points);
  const record = async () => {
    if (made.ok && (await send(channel, { act, before, after: made.after, points }))) onRecorded();
  };
  return (
    <>
      <h3>
        Step {points.length + 1} of {points.length + 1}: look, and record
      </h3>
      <PointTable channel={channel} points={points} />
      <dl class="facts">
        <div>
          <dt>Adjustment before</dt>
          <dd class="figures">{adjustmentText(before, channel)}</dd>
        </div>
        <div>
          <dt>Adjustment after</dt>
          <dd class="figures">{made.ok ? adjustmentText(made.after, channel) : '–'}</dd>
        </div>
        <div>
          <dt>By</dt>
          <dd>{who.value === '' ? 'Nobody: leave, and enter your name under Hold points first' : who.value}</dd>
        </div>
      </dl>
      {!made.ok && (
        <p class="problem" role="alert">
          {made.problem}
        </p>
      )}
      {lastAct.value?.state === 'refused' && (
        <p class="problem" role="alert">
          Not recorded. {lastAct.value.text}
        </p>
      )}
      <div class="entry">
        {made.ok && who.value !== '' && (
          <button type="button" onClick={() => void record()}>
            Record
          </button>
        )}
        <button type="button" onClick={onAgain}>
          Take the readings again
        </button>
      </div>
    </>
  );
}

function PointTable({ channel, points }: Pick<AdjustReviewProps, 'channel' | 'points'>) {
  const { reference } = readAs(channel);
  const shown = (si: number) => formatParts(si, undefined, kindOf(channel), units.value).value;
  const unit = [DISPLAY[kindOf(channel)][units.value].symbol, reference].filter((part) => part !== '').join(' ');
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">It read, {unit}</th>
          <th scope="col">It should read, {unit}</th>
        </tr>
      </thead>
      <tbody>
        {points.map(({ shownSi, shouldReadSi }) => (
          <tr key={shownSi}>
            <td class="figures">{shown(shownSi)}</td>
            <td class="figures">{shown(shouldReadSi)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function adjustingOf(act: AdjustAct, before: Adjustment, [first, second]: readonly KnownPoint[]): Adjusting {
  if (!first) throw new Error('a review without a point');
  if (act === 'zero') return zeroed(before, first);
  if (!second) throw new Error('a calibration without its second point');
  return calibrated(before, [first, second]);
}

interface ToSend {
  readonly act: AdjustAct;
  readonly before: Adjustment;
  readonly after: Adjustment;
  readonly points: readonly KnownPoint[];
}

function send({ name }: ChannelSummary, { act, before, after, points }: ToSend): Promise<boolean> {
  const [first, second] = points.map(({ shownSi, shouldReadSi }) => ({ readSi: unadjustedSi(shownSi, before), shouldReadSi }));
  if (!first) throw new Error('nothing to send');
  const common = { channel: name, before, after } as const;
  if (act === 'zero') return perform({ act, ...common, shouldReadSi: first.shouldReadSi }, `Zero of ${plainName(name)}`);
  if (!second) throw new Error('a calibration without its second point');
  return perform({ act, ...common, points: [first, second] }, `Calibration of ${plainName(name)}`);
}

function adjustmentText({ gain, offsetSi }: Adjustment, channel: ChannelSummary): string {
  const { differenceFromSi, decimals, symbol } = DISPLAY[kindOf(channel)][units.value];
  const offset = differenceFromSi(offsetSi);
  return `gain ${gain.toFixed(5)}, offset ${offset < 0 ? '−' : '+'}${Math.abs(offset).toFixed(decimals + 1)} ${symbol}`;
}
