/**
 * Limits: an alarm on the very sample that goes beyond, and its way back to clear.
 *
 *   clear ──beyond for holdS──▶ active ──acknowledged──▶ active-acknowledged ──gone──▶ clear
 *                                  └──gone──▶ latched ──acknowledged──▶ clear
 *                                                └──beyond──▶ active, without a sound
 *
 * Gone means inside the limit by `clearSi` for half a second. A limit sounds once, when it leaves clear, and may sound
 * again only after it was clear, so after somebody has acknowledged it. A transducer that is not healthy may raise a
 * limit and never clears one.
 */
import type { LimitEvent, LimitState, SessionNs } from '../../../protocol/index.ts';
import { type LimitRate, NO_RATE, takeRate } from './limit-rate.ts';
import type { LimitSetup, WatchSamples } from './setup.ts';

/** 8 numbers, and 34 for a rate. */
export interface LimitWatch {
  readonly state: LimitState;
  /** When it last left clear. */
  readonly raisedAtNs: SessionNs;
  readonly beyondSinceNs: SessionNs | undefined;
  readonly insideSinceNs: SessionNs | undefined;
  readonly rate: LimitRate;
}

export const NEW_LIMIT: LimitWatch = { state: 'clear', raisedAtNs: 0, beyondSinceNs: undefined, insideSinceNs: undefined, rate: NO_RATE };

const GONE_NS = 0.5e9;

type LimitStep = readonly [LimitWatch, readonly LimitEvent[]];

/** @param healthy  of the channel that the samples are of */
export function takeLimit(watch: LimitWatch, setup: LimitSetup, samples: WatchSamples, healthy: boolean): LimitStep {
  if (samples.fault !== undefined) return [{ ...watch, insideSinceNs: undefined, beyondSinceNs: undefined }, []];
  const { fromNs, periodNs, valuesSi } = samples;
  const told = { recordAtNs: samples.atNs, healthy };
  if (setup.kind === 'above' || setup.kind === 'below') {
    const sign = setup.kind === 'above' ? 1 : -1;
    if (isQuiet(watch, setup, valuesSi, sign))
      return [watch.beyondSinceNs === undefined ? watch : { ...watch, beyondSinceNs: undefined }, []];
    const points = valuesSi.map((value, i) => ({ atNs: fromNs + i * periodNs, value }));
    return judgeAll(watch, setup, { ...told, sign, points });
  }
  // Of a gauge its own: what the barometer does is no rise of what it measures.
  const { ambientPa = 0 } = samples;
  const own = ambientPa === 0 ? valuesSi : valuesSi.map((value) => value - ambientPa);
  const [rate, known] = takeRate(watch.rate, { fromNs, periodNs, valuesSi: own });
  const sign = setup.kind === 'risingFasterThan' ? 1 : -1;
  // Held as positive both ways: a fall of 5 is faster than 3.
  const points = known.map(({ atNs, slope }) => ({ atNs, value: sign * slope }));
  return judgeAll({ ...watch, rate }, setup, { ...told, sign: 1, points });
}

/** Nearly every block: clear, and nothing in it is beyond. */
function isQuiet({ state }: LimitWatch, { limitSi }: LimitSetup, values: readonly number[], sign: 1 | -1): boolean {
  if (state !== 'clear') return false;
  for (const value of values) if (sign * (value - limitSi) > 0) return false;
  return true;
}

interface Judged {
  readonly recordAtNs: SessionNs;
  readonly healthy: boolean;
  /** 1: beyond is above; −1: below. */
  readonly sign: 1 | -1;
  readonly points: readonly { readonly atNs: SessionNs; readonly value: number }[];
}

function judgeAll(watch: LimitWatch, setup: LimitSetup, { recordAtNs, healthy, sign, points }: Judged): LimitStep {
  let { state, raisedAtNs, beyondSinceNs, insideSinceNs } = watch;
  const events: LimitEvent[] = [];
  for (const { atNs, value } of points) {
    const to = (next: LimitState): void => {
      if (state === 'clear') raisedAtNs = recordAtNs;
      const facts = { state: next, was: state, raisedAtNs, valueSi: value, sampleAtNs: atNs, channelHealthy: healthy };
      events.push(limitEvent(setup, recordAtNs, facts));
      state = next;
    };
    const past = sign * (value - setup.limitSi);
    if (past > 0) {
      beyondSinceNs ??= atNs;
      insideSinceNs = undefined;
      if ((state === 'clear' || state === 'latched') && atNs - beyondSinceNs >= setup.holdS * 1e9) to('active');
      continue;
    }
    beyondSinceNs = undefined;
    // Not a number is on neither side.
    if (!healthy || !(past <= -setup.clearSi)) {
      insideSinceNs = undefined;
      continue;
    }
    insideSinceNs ??= atNs;
    if (atNs - insideSinceNs < GONE_NS) continue;
    if (state === 'active') to('latched');
    else if (state === 'active-acknowledged') to('clear');
  }
  return [{ ...watch, state, raisedAtNs, beyondSinceNs, insideSinceNs }, events];
}

/** An operator has seen it. Where there is nothing to acknowledge, nothing happens. */
export function acknowledgeLimit(
  watch: LimitWatch,
  setup: LimitSetup,
  act: { readonly who: string; readonly atNs: SessionNs; readonly channelHealthy: boolean },
): LimitStep {
  const next = watch.state === 'active' ? 'active-acknowledged' : watch.state === 'latched' ? 'clear' : undefined;
  if (!next) return [watch, []];
  const facts = {
    state: next,
    was: watch.state,
    raisedAtNs: watch.raisedAtNs,
    acknowledgedBy: act.who,
    channelHealthy: act.channelHealthy,
  } as const;
  return [{ ...watch, state: next }, [limitEvent(setup, act.atNs, facts)]];
}

function limitEvent(
  { id, channel, severity, limitSi, message }: LimitSetup,
  atNs: SessionNs,
  facts: Pick<LimitEvent, 'state' | 'was' | 'raisedAtNs' | 'channelHealthy' | 'valueSi' | 'sampleAtNs' | 'acknowledgedBy'>,
): LimitEvent {
  const audible = facts.was === 'clear' && facts.state === 'active';
  return { type: 'limit', atNs, id, channel, severity, limitSi, audible, ...facts, words: wordsOf(message, facts) };
}

function wordsOf(message: string, { state, was, acknowledgedBy, channelHealthy }: Parameters<typeof limitEvent>[2]): string {
  const doubt = channelHealthy ? '' : ' Its transducer is not healthy.';
  if (acknowledgedBy !== undefined) return `${message} Acknowledged by ${acknowledgedBy}${state === 'clear' ? '; it is over' : ''}.`;
  if (state === 'active') return `${message}${was === 'latched' ? ' It is back, and nobody has acknowledged it.' : ''}${doubt}`;
  return state === 'latched' ? `${message} It is over and waits to be acknowledged.` : `${message} It is over.`;
}
