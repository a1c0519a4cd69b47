/** The vacuum watch: the barrel's pump-down, how far it can go, and how fast air leaks back. */
import type { SessionNs, VacuumEvent, VacuumPhase } from '../../../protocol/index.ts';
import { type Bin, type Binning, binSamples, NO_BINS } from './bins.ts';
import { addToHold } from './hold-bins.ts';
import { measured } from './measured.ts';
import { RATE_BINS_MAX, type Rate, rateOf } from './rate.ts';
import type { ChannelWatchSetup, VacuumSetup, WatchSamples } from './setup.ts';
import { isAtBase } from './vacuum-base.ts';
import { aboveBasePa, type Course, courseFrom, leakUpOf, pumpDownOf, refitPumpDown } from './vacuum-fit.ts';
import { vacuumWords } from './vacuum-words.ts';

/** At most 40 recent bins and 96 of each course: some 10 kB. */
export interface VacuumState {
  /** That was added to a gauge's newest sample, Pa; 0 where none was. */
  readonly ambientPa: number;
  readonly binning: Binning;
  readonly recent: readonly Bin[];
  readonly rate: Rate | undefined;
  readonly phase: VacuumPhase;
  readonly phaseSinceNs: SessionNs;
  readonly pumpDown: Course | undefined;
  readonly leakUp: Course | undefined;
  readonly toldAtNs: SessionNs;
}

export const NEW_VACUUM: VacuumState = {
  ambientPa: 0,
  binning: NO_BINS,
  recent: [],
  rate: undefined,
  phase: 'unknown',
  phaseSinceNs: 0,
  pumpDown: undefined,
  leakUp: undefined,
  toldAtNs: Number.NEGATIVE_INFINITY,
};

const BIN_NS = 0.1e9;
const TELL_EVERY_NS = 0.2e9;
/** Of the ambient: nearer to it than this the barrel is open; so far above it no gauge is off, it was just fired. */
const OPEN_SHARE = 0.97;
const FIRED_SHARE = 1.15;
const STILL_OPEN_SHARE = 0.8;
/** Of the ambient a second: faster upwards is air let in, not a leak. */
const VENT_SHARE_PER_S = 0.02;
/** Slower than this is the weather. */
const PUMPING_PA_PER_S = 50;
const RISING_PA_PER_S = 0.5;
const SIGNIFICANT = 4;
const GAP_SHARE = 0.2;
/** An ambient that is another by so much at once was assumed before, and measured now: what was seen with it is begun anew. */
const AMBIENT_STEP_PA = 300;

export function takeVacuum(
  state: VacuumState,
  setup: VacuumSetup,
  channel: ChannelWatchSetup,
  samples: WatchSamples,
): readonly [VacuumState, readonly VacuumEvent[]] {
  const { ambientPa = 0 } = samples;
  const before = Math.abs(ambientPa - state.ambientPa) > AMBIENT_STEP_PA ? { ...NEW_VACUUM, toldAtNs: state.toldAtNs } : state;
  const [binning, bins] = binSamples(before.binning, samples, BIN_NS);
  let next: VacuumState = { ...before, ambientPa, binning };
  const events: VacuumEvent[] = [];
  for (const bin of bins) {
    const before = next.phase;
    next = takeBin(next, setup, bin);
    if (next.phase === before && bin.toNs - next.toldAtNs < TELL_EVERY_NS) continue;
    next = { ...next, toldAtNs: bin.toNs };
    events.push(describe(next, setup, channel, bin, samples.atNs));
  }
  return [next, events];
}

function takeBin(state: VacuumState, setup: VacuumSetup, bin: Bin): VacuumState {
  const last = state.recent.at(-1);
  const isGap = last !== undefined && bin.fromNs - last.toNs > 2 * (bin.toNs - bin.fromNs);
  // A level that is another after a gap was reached by something nobody saw: a firing, for one, rails the transducer.
  if (isGap && Math.abs(bin.mean - last.mean) > GAP_SHARE * last.mean) {
    return {
      ...NEW_VACUUM,
      ambientPa: state.ambientPa,
      binning: state.binning,
      recent: [bin],
      phaseSinceNs: bin.toNs,
      toldAtNs: state.toldAtNs,
    };
  }
  const recent = isGap ? [bin] : [...state.recent.slice(-(RATE_BINS_MAX - 1)), bin];
  const rate = rateOf(recent, state.binning.noise);
  const grown = (course: Course): Course => ({ ...course, bins: addToHold(course.bins, bin) });
  const isPumped = state.phase === 'pumping' || state.phase === 'base';
  const pumpDown = isPumped && state.pumpDown ? refitPumpDown(grown(state.pumpDown), state.binning, bin.toNs) : state.pumpDown;
  const leakUp = state.leakUp && grown(state.leakUp);
  const seen: VacuumState = { ...state, recent, rate, pumpDown, leakUp };
  const phase = nextPhase(seen, setup, bin);
  if (phase === state.phase) return seen;
  const changed = { ...seen, phase, phaseSinceNs: bin.toNs };
  if (phase === 'rising') return { ...changed, leakUp: courseFrom(bin) };
  if (phase === 'base') return changed;
  // From its base a pump may be found to do more after all: the course goes on.
  const goesOn = phase === 'pumping' && state.phase === 'base';
  return { ...changed, leakUp: undefined, pumpDown: phase === 'pumping' ? (goesOn ? pumpDown : courseFrom(bin)) : undefined };
}

function nextPhase({ phase, rate, pumpDown }: VacuumState, setup: VacuumSetup, bin: Bin): VacuumPhase {
  if (!rate) return phase;
  const falls = -rate.slope > Math.max(PUMPING_PA_PER_S, SIGNIFICANT * rate.standardUncertainty);
  const rises = rate.slope > Math.max(RISING_PA_PER_S, SIGNIFICANT * rate.standardUncertainty);
  const isOpen = bin.mean > OPEN_SHARE * setup.ambientPa;
  if (bin.mean > FIRED_SHARE * setup.ambientPa) return 'venting';
  const isVenting = rate.slope > Math.max(VENT_SHARE_PER_S * setup.ambientPa, SIGNIFICANT * rate.standardUncertainty);
  if (isVenting && !isOpen) return 'venting';
  if (isOpen && !falls) return 'open';
  switch (phase) {
    case 'venting':
      return falls ? 'pumping' : rises && rate.slope > (VENT_SHARE_PER_S * setup.ambientPa) / 2 ? 'venting' : rises ? 'rising' : 'unknown';
    case 'open':
      // A rate takes half a second to be told: a pump that has just begun is still called open.
      return falls ? 'pumping' : bin.mean > STILL_OPEN_SHARE * setup.ambientPa ? 'open' : 'unknown';
    case 'unknown':
      return falls ? 'pumping' : rises ? 'rising' : 'unknown';
    case 'rising':
      return falls ? 'pumping' : 'rising';
    case 'pumping':
    case 'base': {
      if (rises) return 'rising';
      const above = pumpDown && aboveBasePa(pumpDown, bin.toNs);
      const done = above !== undefined && isAtBase(above, bin.mean);
      return done && !falls ? 'base' : phase === 'base' && falls ? 'pumping' : phase;
    }
  }
}

function describe(state: VacuumState, setup: VacuumSetup, channel: ChannelWatchSetup, bin: Bin, atNs: number): VacuumEvent {
  const { phase, rate, binning } = state;
  const pumpDown =
    state.pumpDown && (phase === 'pumping' || phase === 'base') ? pumpDownOf(state.pumpDown, setup, channel, bin.toNs) : undefined;
  const leakUp = state.leakUp && leakUpOf(state.leakUp, binning, setup, channel);
  const gain = channel.standardUncertaintySi / setup.ambientPa;
  const facts = {
    type: 'vacuum' as const,
    atNs,
    channel: setup.channel,
    phase,
    phaseSinceNs: state.phaseSinceNs,
    pressurePa: measured(bin.mean, binning.noise.deviation / Math.sqrt(bin.count), channel.standardUncertaintySi),
    ...(rate ? { ratePaPerS: measured(rate.slope, rate.standardUncertainty, rate.slope * gain) } : {}),
    ...(setup.targetPa === undefined ? {} : { targetPa: setup.targetPa }),
    ...(pumpDown ? { pumpDown } : {}),
    ...(leakUp ? { leakUp } : {}),
  };
  return { ...facts, words: vacuumWords(facts) };
}
