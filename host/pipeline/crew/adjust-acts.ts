/**
 * Zero and calibration as acts. What an act holds was worked out where the crew saw it; here it is held against what is
 * so now, for meanwhile somebody else may have been quicker, or the gauge may have moved on.
 */
import type { Adjustment, OperatorAct, SessionNs } from '../../../protocol/index.ts';
import type { Channel } from '../../rig/index.ts';
import { amountText } from '../../units/index.ts';
import { type Adjusted, adjusted, calibrated, spanOf, UNADJUSTED, unadjusted, zeroed } from './adjustment.ts';
import type { CrewContext } from './context.ts';
import { noSuchChannel } from './no-such.ts';
import { type CrewState, own } from './state.ts';
import { type ActStep, refused } from './step.ts';

export type AdjustAct = Extract<OperatorAct, { act: 'zero' | 'calibrate' }>;

/** Of the channel's range: further than this from where the zero was taken, the gauge has moved. */
const MOVED_SHARE = 0.01;
const SAME = 1e-9;

export function takeAdjustment(state: CrewState, context: CrewContext, act: AdjustAct, atNs: SessionNs): ActStep {
  const channel = context.rig.channels.find(({ name }) => name === act.channel);
  if (!channel) return refused(state, act, noSuchChannel(context.rig, act.channel), atNs);
  const before = own(state.adjustments, channel.name) ?? UNADJUSTED;
  if (!isSame(act.before, before)) {
    return refused(state, act, `${channel.name} was adjusted by somebody else meanwhile; look at what it shows now and begin anew`, atNs);
  }
  const outcome = act.act === 'zero' ? checkZero(state, context, channel, act) : calibrated(channel, act.points);
  if (!outcome.ok) return refused(state, act, outcome.why, atNs);
  if (!isSame(outcome.after, act.after)) {
    return refused(state, act, `what ${channel.name} was to become does not follow from what it read; begin anew`, atNs);
  }
  const { after } = act;
  const next: CrewState = {
    ...state,
    adjustments: { ...state.adjustments, [channel.name]: after },
    calibrated: act.act === 'calibrate' ? { ...state.calibrated, [channel.name]: after } : state.calibrated,
  };
  return [next, [{ type: 'adjusted', atNs, channel: channel.name, act: act.act, before, after, who: act.who }]];
}

function checkZero(state: CrewState, context: CrewContext, channel: Channel, act: Extract<AdjustAct, { act: 'zero' }>): Adjusted {
  const readSi = unadjusted(act.shouldReadSi, act.after);
  const now = context.reading(channel.name);
  if (now && Math.abs(now.unadjustedSi - readSi) > MOVED_SHARE * spanOf(channel)) {
    const [then, present] = [readSi, now.unadjustedSi].map((si) => amountText(adjusted(si, act.before), channel.unit));
    return { ok: false, why: `${channel.name} showed ${then} when the zero was taken and shows ${present} now; wait until it is still` };
  }
  return zeroed(
    channel,
    { readSi, shouldReadSi: act.shouldReadSi },
    { before: act.before, calibrated: own(state.calibrated, channel.name) ?? UNADJUSTED },
  );
}

const isClose = (a: number, b: number): boolean => a === b || Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b), 1);
const isSame = (a: Adjustment, b: Adjustment): boolean => isClose(a.gain, b.gain) && isClose(a.offsetSi, b.offsetSi);
