/** What a channel shows, for whoever is about to set it right; and what would become of it. */
import type { AdjustmentProposal, ChannelShown, SessionNs } from '../../../protocol/index.ts';
import type { Channel, Rig } from '../../rig/index.ts';
import { amountText } from '../../units/index.ts';
import { latch } from '../latch.ts';
import type { PipelineState } from '../state.ts';
import { type AdjustmentPoint, adjusted, calibrated, spanOf, UNADJUSTED, unadjusted, zeroed } from './adjustment.ts';
import { noSuchChannel } from './no-such.ts';
import { recentReading } from './recent-reading.ts';
import { own } from './state.ts';

export type Told<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly why: string };

/** Of the channel's range: a gauge that moves by more in a second is not at rest. */
const MOVING_SHARE = 0.002;

export function channelShown(state: PipelineState, name: string, atNs: SessionNs): Told<ChannelShown> {
  const named = known(state, name);
  if (!named.ok) return named;
  const { rig, channel } = named.value;
  const reading = recentReading(state, rig, name, atNs);
  if (!reading) return refuse(`nothing has come from ${name} for some time; see to its link first`);
  const adjustment = own(state.crew.adjustments, name) ?? UNADJUSTED;
  const { unadjustedSi, standardUncertaintySi, movedSi, movedStandardUncertaintySi, samples, ageS, fault } = reading;
  if (!Number.isFinite(unadjustedSi)) return refuse(`${name} gives no reading (${fault ?? 'no number'}); see to its transducer first`);
  const { value, standardUncertainty, origin } = latch(state, rig, atNs).airPressurePa;
  const shown: ChannelShown = {
    channel: name,
    measures: channel.measures,
    unit: channel.unit,
    reference: channel.reference,
    shownSi: adjusted(unadjustedSi, adjustment),
    unadjustedSi,
    standardUncertaintySi: adjustment.gain * standardUncertaintySi,
    movedSi: adjustment.gain * movedSi,
    movedStandardUncertaintySi: adjustment.gain * movedStandardUncertaintySi,
    samples,
    ageS,
    adjustment,
    ...(fault === undefined ? {} : { fault }),
    ambient: { pressurePa: value, standardUncertaintyPa: standardUncertainty, origin },
  };
  return { ok: true, value: shown };
}

/** @param shouldReadSi  as the instrument reads */
export function proposeZero(state: PipelineState, name: string, shouldReadSi: number, atNs: SessionNs): Told<AdjustmentProposal> {
  const shown = channelShown(state, name, atNs);
  if (!shown.ok) return shown;
  const { unadjustedSi, adjustment: before, shownSi, movedSi, fault, unit } = shown.value;
  const named = known(state, name);
  if (!named.ok) return named;
  if (fault !== undefined) return refuse(`${name} gives no reading (${fault}); see to its transducer first`);
  if (Math.abs(movedSi) > Math.max(MOVING_SHARE * spanOf(named.value.channel), 4 * shown.value.movedStandardUncertaintySi)) {
    return refuse(`${name} is moving, by ${amountText(movedSi, unit)} in a second; wait until it is still`);
  }
  const outcome = zeroed(
    named.value.channel,
    { readSi: unadjustedSi, shouldReadSi },
    { before, calibrated: own(state.crew.calibrated, name) ?? UNADJUSTED },
  );
  if (!outcome.ok) return outcome;
  const act = { act: 'zero', channel: name, shouldReadSi, before, after: outcome.after } as const;
  return { ok: true, value: { act, showsSi: shownSi, wouldShowSi: adjusted(unadjustedSi, outcome.after) } };
}

/** @param points  what the channel showed, with the adjustment that it has now, and what it should have shown */
export function proposeCalibration(
  state: PipelineState,
  name: string,
  points: readonly [
    { readonly shownSi: number; readonly shouldReadSi: number },
    { readonly shownSi: number; readonly shouldReadSi: number },
  ],
  atNs: SessionNs,
): Told<AdjustmentProposal> {
  const named = known(state, name);
  if (!named.ok) return named;
  const before = own(state.crew.adjustments, name) ?? UNADJUSTED;
  const [first, second] = points.map(({ shownSi, shouldReadSi }) => ({ readSi: unadjusted(shownSi, before), shouldReadSi })) as unknown as [
    AdjustmentPoint,
    AdjustmentPoint,
  ];
  const outcome = calibrated(named.value.channel, [first, second]);
  if (!outcome.ok) return outcome;
  const shown = channelShown(state, name, atNs);
  const readSi = shown.ok ? shown.value.unadjustedSi : second.readSi;
  const act = { act: 'calibrate', channel: name, points: [first, second], before, after: outcome.after } as const;
  return { ok: true, value: { act, showsSi: adjusted(readSi, before), wouldShowSi: adjusted(readSi, outcome.after) } };
}

function known({ rig }: PipelineState, name: string): Told<{ readonly rig: Rig; readonly channel: Channel }> {
  if (!rig) return refuse('the session has no rig file yet; wait for it');
  const channel = rig.channels.find((each) => each.name === name);
  return channel ? { ok: true, value: { rig, channel } } : refuse(noSuchChannel(rig, name));
}

const refuse = (why: string): { readonly ok: false; readonly why: string } => ({ ok: false, why });
