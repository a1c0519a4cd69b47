/**
 * The fill watch: what the reservoir's pressure does and what it will come to. Its state is a plain value; a block of
 * samples goes in, events come out. It never judges whether a vessel is safe.
 */
import type { FillEvent, FillPhase, Overshoot, Settling } from '../../../protocol/index.ts';
import { type Bin, binSamples } from './bins.ts';
import { heldSamples, heldSetup, presentEvent } from './fill-ambient.ts';
import { type Contents, contentsAt, takeContents, wallTimeOf } from './fill-contents.ts';
import { overshootWhileFilling, overshootWhileSettling, settledIfShut, timeToTarget } from './fill-forecast.ts';
import { lookAfter, refit, settlingOf } from './fill-hold.ts';
import { holdOf } from './fill-leak.ts';
import { nextPhase } from './fill-phase.ts';
import { type FillState, type HoldState, NEW_FILL } from './fill-state.ts';
import { fillWords } from './fill-words.ts';
import { addToHold } from './hold-bins.ts';
import { measured } from './measured.ts';
import { RATE_BINS_MAX, rateOf } from './rate.ts';
import type { ChannelWatchSetup, FillSetup, WatchSamples } from './setup.ts';

const BIN_NS = 0.1e9;
const TELL_EVERY_NS = 0.2e9;

type FillStep = readonly [FillState, readonly FillEvent[]];

export function takeFill(state: FillState, setup: FillSetup, channel: ChannelWatchSetup, samples: WatchSamples): FillStep {
  const { ambientPa } = samples;
  if (ambientPa === undefined) return takeCourse(state, setup, channel, samples);
  const heldAmbientPa = state.heldAmbientPa ?? ambientPa;
  const byPa = ambientPa - heldAmbientPa;
  const before = state.heldAmbientPa === undefined ? { ...state, heldAmbientPa } : state;
  if (byPa === 0) return takeCourse(before, setup, channel, samples);
  const [next, events] = takeCourse(before, heldSetup(setup, byPa), channel, heldSamples(samples, byPa));
  return [next, events.map((event) => presentEvent(event, byPa))];
}

function takeCourse(state: FillState, setup: FillSetup, channel: ChannelWatchSetup, samples: WatchSamples): FillStep {
  const [binning, bins] = binSamples(state.binning, samples, BIN_NS);
  let next: FillState = { ...state, binning };
  const events: FillEvent[] = [];
  for (const bin of bins) {
    const before = next.phase;
    const overBefore = next.overshoot;
    next = takeBin(next, setup, bin);
    const due = next.phase !== before || bin.toNs - next.toldAtNs >= TELL_EVERY_NS;
    const event = describe(next, setup, channel, bin, samples.atNs);
    next = { ...next, overshoot: event.overshoot?.over };
    if (!due && next.overshoot === overBefore) continue;
    next = { ...next, toldAtNs: bin.toNs };
    events.push(event);
  }
  return [next, events];
}

function takeBin(state: FillState, setup: FillSetup, bin: Bin): FillState {
  // What stood before a gap says nothing of the rate now.
  const last = state.recent.at(-1);
  const isGap = last !== undefined && bin.fromNs - last.toNs > 2 * (bin.toNs - bin.fromNs);
  // A level that is another after a gap was reached by something nobody saw.
  if (isGap && Math.abs(bin.mean - last.mean) > setup.bandPa) return { ...restarted(state, bin), recent: [bin] };
  const recent = isGap ? [bin] : [...state.recent.slice(-(RATE_BINS_MAX - 1)), bin];
  const rate = rateOf(recent, state.binning.noise);
  const extreme = extremeOf(state, bin);
  const hold = state.hold && refit({ ...state.hold, bins: addToHold(state.hold.bins, bin) }, state.binning, setup, bin.toNs);
  const contents = state.phase === 'filling' && state.contents ? takeContents(state.contents, [bin], setup.gamma) : state.contents;
  const seen: FillState = { ...state, recent, rate, extreme, hold, contents };
  const phase = nextPhase(seen, setup, bin);
  return phase === state.phase ? seen : entered(seen, phase, bin, setup);
}

const restarted = (state: FillState, bin: Bin): FillState => ({
  ...NEW_FILL,
  heldAmbientPa: state.heldAmbientPa,
  binning: state.binning,
  wallTimeS: state.wallTimeS,
  phaseSinceNs: bin.toNs,
  toldAtNs: state.toldAtNs,
});

function extremeOf({ phase, extreme }: FillState, bin: Bin): Bin | undefined {
  if (phase === 'filling') return !extreme || bin.mean > extreme.mean ? bin : extreme;
  if (phase === 'falling') return !extreme || bin.mean < extreme.mean ? bin : extreme;
  return extreme;
}

function entered(state: FillState, phase: FillPhase, bin: Bin, { gamma }: FillSetup): FillState {
  const changed = { ...state, phase, phaseSinceNs: bin.toNs };
  switch (phase) {
    case 'filling':
    case 'falling': {
      // The rate told of it late: it began where its stretch begins.
      const bins = state.recent.slice(-(state.rate?.bins ?? 1));
      const first = bins[0] ?? bin;
      const contents = phase === 'filling' ? contentsBefore(state, first) : undefined;
      return {
        ...changed,
        startPa: first.mean,
        extreme: bin,
        hold: undefined,
        contents: contents && takeContents(contents, bins, gamma),
        wallTimeS: learned(state),
      };
    }
    case 'settling':
      return { ...changed, hold: holdSince(state, bin) };
    case 'steady':
      return { ...changed, hold: state.hold ?? { fromNs: bin.toNs, bins: [], fit: undefined, lookAtNs: lookAfter(bin.toNs, bin.toNs) } };
    default:
      return { ...changed, hold: undefined, overshoot: undefined };
  }
}

/** The valve was shut at the extreme; the bin after it is the first that knows nothing of the filling. */
function holdSince({ recent, extreme }: FillState, bin: Bin): HoldState {
  const fromNs = Math.min(extreme?.toNs ?? bin.toNs, bin.toNs);
  const bins = recent.filter((each) => each.fromNs >= fromNs + (each.toNs - each.fromNs) / 2);
  return { fromNs, bins, fit: undefined, lookAtNs: lookAfter(fromNs, fromNs) };
}

/** At rest it is what the gauge shows; while the gas still settles, what that was found to come to; cold from a vent, nobody can say. */
function contentsBefore({ phase, hold, contents }: FillState, first: Bin): Contents | undefined {
  if (phase === 'falling') return undefined;
  const atNs = (first.fromNs + first.toNs) / 2;
  if (phase !== 'settling') return contentsAt(first.mean, atNs);
  const restarted = hold?.fit ? contentsAt(hold.fit.base, atNs) : contents && { ...contents, atNs };
  return restarted && { ...restarted, pressurePa: first.mean };
}

/** What the last hold says of the wall; what was known before, if that told nothing. */
function learned({ hold, phase, wallTimeS, contents }: FillState): number | undefined {
  if (phase !== 'steady' || !hold?.fit || !contents) return wallTimeS;
  return wallTimeOf(contents, hold.fit.base) ?? wallTimeS;
}

function describe(state: FillState, setup: FillSetup, channel: ChannelWatchSetup, bin: Bin, atNs: number): FillEvent {
  const { phase, rate, hold, binning } = state;
  const pressurePa = measured(bin.mean, binning.noise.deviation / Math.sqrt(bin.count), channel.standardUncertaintySi);
  // At most the whole of the gauge's uncertainty is a gain error, at the top of its range.
  const gain = channel.standardUncertaintySi / setup.maximumPa;
  const ratePaPerS = rate && measured(rate.slope, rate.standardUncertainty, rate.slope * gain);
  const settling = hold && settlingOf(hold, setup, channel, bin.toNs);
  const held = hold && holdOf(hold, binning, setup, channel);
  const ifShut = phase === 'filling' ? settledIfShut(state, channel) : undefined;
  const toTarget = phase === 'filling' ? timeToTarget(state, setup, channel) : undefined;
  const overshoot = overshootOf(state, setup, channel, bin, settling);
  const facts = {
    type: 'fill' as const,
    atNs,
    channel: setup.channel,
    phase,
    phaseSinceNs: state.phaseSinceNs,
    pressurePa,
    bandPa: setup.bandPa,
    ...(ratePaPerS && rate ? { ratePaPerS, rateSpanS: rate.spanS } : {}),
    ...(setup.targetPa === undefined ? {} : { targetPa: setup.targetPa }),
    ...(ifShut ? { settledIfShutPa: ifShut } : {}),
    ...(toTarget ? { timeToTargetS: toTarget } : {}),
    ...(overshoot ? { overshoot } : {}),
    ...(settling ? { settling } : {}),
    ...(held ? { hold: held } : {}),
  };
  return { ...facts, words: fillWords(facts, setup.ambientPa) };
}

function overshootOf(
  state: FillState,
  setup: FillSetup,
  channel: ChannelWatchSetup,
  bin: Bin,
  settling: Settling | undefined,
): Overshoot | undefined {
  if (state.phase === 'filling') return overshootWhileFilling(state, setup, channel, bin.mean);
  if (state.phase !== 'settling' && state.phase !== 'steady') return undefined;
  const settled = settling?.settledPressurePa ?? (state.phase === 'steady' ? measured(bin.mean, channel.standardUncertaintySi) : undefined);
  return settled && overshootWhileSettling(setup, settled, state.overshoot);
}
