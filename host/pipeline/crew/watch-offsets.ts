/** Looks at the gauges while the vessel reads empty and the barrel open, and tells of their offsets. */
import type { OffsetEvent, SessionNs, VacuumEvent } from '../../../protocol/index.ts';
import { BARREL_ROLES } from '../latch.ts';
import { adjusted, UNADJUSTED } from './adjustment.ts';
import type { CrewContext } from './context.ts';
import { offsetAtAmbient } from './offset.ts';
import { type CrewState, own } from './state.ts';
import type { CrewStep } from './step.ts';

const LOOK_EVERY_NS = 2e9;
/** Of the air's pressure; no pump stops so near to it. */
const NEAR_SHARE = 0.15;
/** Of the smallest range that any vessel's gauge has, and far above a hum: more than this in a second is no rest. */
const MOVED_SHARE_OF_CLAIM = 1;

export function watchOffsets(state: CrewState, context: CrewContext, atNs: SessionNs): CrewStep {
  if (atNs - state.offsetsAtNs < LOOK_EVERY_NS) return [state, []];
  const { fill, vacuum } = state.facts;
  const atRest = [...(fill?.phase === 'empty' ? [fill.channel] : []), ...(vacuum && mayBeOpen(vacuum, context) ? BARREL_ROLES : [])];
  const events: OffsetEvent[] = [];
  let { offsets } = state;
  for (const name of atRest) {
    const event = offsetOf(state, context, name, atNs);
    if (!event || !isNews(own(offsets, name), event)) continue;
    offsets = { ...offsets, [name]: event };
    events.push(event);
  }
  return [{ ...state, offsets, offsetsAtNs: atNs }, events];
}

/** A gauge that is off reads an open barrel a little below or above the air; one that is pumped or leaks is not open. */
const mayBeOpen = ({ phase, pressurePa }: VacuumEvent, context: CrewContext): boolean =>
  (phase === 'open' || phase === 'unknown' || phase === 'venting') && Math.abs(pressurePa.value / context.ambient().value - 1) < NEAR_SHARE;

function offsetOf(state: CrewState, context: CrewContext, name: string, atNs: SessionNs): OffsetEvent | undefined {
  const channel = context.rig.channels.find((each) => each.name === name);
  const reading = context.reading(name);
  if (!channel || !reading || reading.fault !== undefined || !Number.isFinite(reading.unadjustedSi)) return undefined;
  if (Math.abs(reading.movedSi) > MOVED_SHARE_OF_CLAIM * channel.standardUncertaintySi) return undefined;
  const ambient = context.ambient();
  // Against an assumed pressure of the air an absolute gauge cannot be held.
  if (channel.reference === 'absolute' && ambient.origin === 'assumed') return undefined;
  const adjustment = own(state.adjustments, name) ?? UNADJUSTED;
  const shownSi = adjusted(reading.unadjustedSi, adjustment);
  return offsetAtAmbient(channel, { shownSi, standardUncertaintySi: adjustment.gain * reading.standardUncertaintySi }, ambient, atNs);
}

/** Another verdict, or moved by more than either can be wrong. */
const isNews = (before: OffsetEvent | undefined, now: OffsetEvent): boolean =>
  !before ||
  before.verdict !== now.verdict ||
  Math.abs(before.offsetSi.value - now.offsetSi.value) >
    Math.max(before.offsetSi.expandedUncertainty, now.offsetSi.expandedUncertainty, now.claimedSi / 4);
