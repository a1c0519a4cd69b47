/**
 * What a person did, folded in. An act that cannot be carried out changes nothing and is told with why; unknown acts of
 * a later version's journal are such.
 */
import type { OperatorAct, SessionNs } from '../../../protocol/index.ts';
import { takeAdjustment } from './adjust-acts.ts';
import { takeClip, takeTrack, takeWithdrawal } from './camera-acts.ts';
import type { CrewContext } from './context.ts';
import { takeTick } from './hold-point-acts.ts';
import { noSuch } from './no-such.ts';
import type { CrewState } from './state.ts';
import { type ActStep, refused } from './step.ts';
import { hasShot, noShot, ofAnother, takeAim, takeExclusion, takeImpact } from './target-acts.ts';

/** An acknowledgement that is not refused is still to be carried out by the limit's own watch. */
export function takeAct(state: CrewState, context: CrewContext, act: Exclude<OperatorAct, { act: 'weigh' }>, atNs: SessionNs): ActStep {
  switch (act.act) {
    case 'note':
      return takeNote(state, context, act, atNs);
    case 'acknowledge':
      return checkAcknowledgement(state, context, act, atNs);
    case 'hold-point':
      return takeTick(state, context.rig, act, atNs);
    case 'zero':
    case 'calibrate':
      return takeAdjustment(state, context, act, atNs);
    case 'aim':
      return takeAim(state, act, atNs);
    case 'impact':
      return takeImpact(state, act, atNs);
    case 'exclude':
      return takeExclusion(state, context, act, atNs);
    case 'clip':
      return takeClip(state, context.rig, act, atNs);
    case 'camera-track':
      return takeTrack(state, context.rig, act, atNs);
    case 'withdraw-track':
      return takeWithdrawal(state, context.rig, act, atNs);
    default:
      return refused(state, act, 'this version does not know the act; bring it up to date', atNs);
  }
}

function takeNote(state: CrewState, { sessionId: own }: CrewContext, act: Extract<OperatorAct, { act: 'note' }>, atNs: SessionNs): ActStep {
  const { text, shotId, who } = act;
  const elsewhere = shotId === undefined ? undefined : ofAnother(act, own);
  if (shotId !== undefined && !elsewhere && !hasShot(state, shotId)) return refused(state, act, noShot(shotId), atNs);
  return [
    state,
    [{ type: 'note', atNs, text, ...(shotId === undefined ? {} : { shotId }), ...elsewhere, ...(who === undefined ? {} : { who }) }],
  ];
}

function checkAcknowledgement(
  state: CrewState,
  context: CrewContext,
  act: Extract<OperatorAct, { act: 'acknowledge' }>,
  atNs: SessionNs,
): ActStep {
  const { limitId } = act;
  switch (context.limitState(limitId)) {
    case undefined:
      return refused(state, act, noSuch('limit', limitId, context.limitIds()), atNs);
    case 'clear':
      return refused(state, act, `the limit ${limitId} has raised nothing that is to be acknowledged`, atNs);
    case 'active-acknowledged':
      return refused(state, act, `the limit ${limitId} has been acknowledged already`, atNs);
    default:
      return [state, []];
  }
}
