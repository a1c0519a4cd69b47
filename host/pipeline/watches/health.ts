/** A transducer that is stuck, noisy, railed, disconnected or at fault is called that, and gives no numbers to anyone. */
import type { Health, HealthEvent, SessionNs } from '../../../protocol/index.ts';
import { NOT_NOISY, type NoisyState, takeNoisy } from './noisy.ts';
import type { ChannelWatchSetup, WatchSamples } from './setup.ts';
import { NOT_STUCK, type StuckState, takeStuck } from './stuck.ts';
import { spanText } from './words.ts';

/** Some 90 numbers a channel. */
export interface HealthState {
  readonly health: Health;
  readonly stuck: StuckState;
  readonly noisy: NoisyState;
  /** Samples in a row at an end of the range, and inside it since. */
  readonly railedRun: number;
  readonly insideRun: number;
  readonly fault: string;
  readonly heardAtNs: SessionNs;
  readonly nextNs: SessionNs;
  readonly value: number;
}

export const NEW_HEALTH: HealthState = {
  health: 'waiting',
  stuck: NOT_STUCK,
  noisy: NOT_NOISY,
  railedRun: 0,
  insideRun: 0,
  fault: '',
  heardAtNs: Number.NEGATIVE_INFINITY,
  nextNs: Number.NEGATIVE_INFINITY,
  value: Number.NaN,
};

/** Samples at the rail before the channel is called railed; a slow channel's first is enough. */
const RAILED_RUN = 3;
const SLOW_S = 0.1;
/** Back inside for so long before it is believed again. */
const INSIDE_S = 0.2;

/** A frozen gauge would wander with the barometer, and a step of a curved calibration is not the same everywhere. */
const ownNumbers = ({ raw, valuesSi }: WatchSamples): readonly number[] => raw ?? valuesSi;

export function takeHealth(
  state: HealthState,
  setup: ChannelWatchSetup,
  samples: WatchSamples,
): readonly [HealthState, readonly HealthEvent[]] {
  const { valuesSi, periodNs, fromNs, atNs } = samples;
  const own = ownNumbers(samples);
  const periodS = periodNs / 1e9;
  const notNumber = valuesSi.some((value) => !Number.isFinite(value));
  const fault = samples.fault ?? (notNumber ? 'its value is no number' : '');
  const heard = { ...state, heardAtNs: atNs, fault };
  if (fault !== '' || valuesSi.length === 0) return told(heard, setup, atNs, periodS);
  // After a gap a channel has to show anew how it moves from sample to sample; what its past taught it keeps.
  const gap = fromNs > state.nextNs + 0.75 * periodNs;
  const noisyBefore = gap ? { ...state.noisy, before: NOT_NOISY.before, open: [] } : state.noisy;
  return told(
    {
      ...heard,
      ...railRuns(state, setup, own),
      stuck: takeStuck(state.stuck, own, periodS, setup.identicalMaxS),
      noisy: setup.scattersByNature ? state.noisy : takeNoisy(noisyBefore, own, periodS),
      nextNs: fromNs + valuesSi.length * periodNs,
      value: valuesSi.at(-1) ?? state.value,
    },
    setup,
    atNs,
    periodS,
  );
}

function railRuns({ railedRun, insideRun, health }: HealthState, { rails }: ChannelWatchSetup, values: readonly number[]) {
  if (!rails) return {};
  const [low, high] = rails;
  let railed = railedRun;
  let inside = insideRun;
  for (const value of values) {
    const isRailed = value <= low || value >= high;
    // Within one block the run that matters is the longest: a short block may rail and come back.
    if (isRailed) {
      railed++;
      inside = 0;
    } else {
      inside++;
      if (railed < RAILED_RUN && health !== 'railed') railed = 0;
    }
  }
  return { railedRun: railed, insideRun: inside };
}

/** Does any sample of this block stand at an end of the range? Such a block is kept from the other watches. */
export const touchesRail = ({ rails }: ChannelWatchSetup, samples: WatchSamples): boolean =>
  rails !== undefined && ownNumbers(samples).some((value) => value <= rails[0] || value >= rails[1]);

export function passHealthTime(
  state: HealthState,
  setup: ChannelWatchSetup,
  atNs: SessionNs,
): readonly [HealthState, readonly HealthEvent[]] {
  if (state.health === 'disconnected' || state.health === 'waiting') return [state, []];
  if (atNs - state.heardAtNs < setup.silentAfterS * 1e9) return [state, []];
  return changed(state, setup, 'disconnected', atNs);
}

function told(state: HealthState, setup: ChannelWatchSetup, atNs: SessionNs, periodS: number) {
  const isRailed = state.railedRun >= (periodS >= SLOW_S ? 1 : RAILED_RUN);
  const isBack = state.insideRun * periodS >= INSIDE_S && state.insideRun >= RAILED_RUN;
  const counted = isRailed && isBack ? { ...state, railedRun: 0 } : state;
  const health: Health =
    state.fault !== ''
      ? 'fault'
      : isRailed && !isBack
        ? 'railed'
        : state.stuck.isStuck
          ? 'stuck'
          : state.noisy.isNoisy
            ? 'noisy'
            : Number.isNaN(state.value)
              ? state.health
              : 'healthy';
  return health === state.health ? ([counted, []] as const) : changed(counted, setup, health, atNs);
}

function changed(
  state: HealthState,
  setup: ChannelWatchSetup,
  health: Health,
  atNs: SessionNs,
): readonly [HealthState, readonly HealthEvent[]] {
  const event: HealthEvent = {
    type: 'health',
    atNs,
    channel: setup.channel,
    health,
    was: state.health,
    words: healthWords(state, setup, health, atNs),
    ...(Number.isFinite(state.value) && (health === 'stuck' || health === 'railed') ? { lastValueSi: state.value } : {}),
  };
  return [{ ...state, health }, [event]];
}

function healthWords(state: HealthState, { channel }: ChannelWatchSetup, health: Health, atNs: SessionNs): string {
  switch (health) {
    case 'stuck':
      return `${channel} is stuck: ${Math.round(state.stuck.run)} samples the same to the last digit, longer than its noise ever let it stand. Check its wire and supply.`;
    case 'noisy':
      return `${channel} is noisy: it scatters more than 4 times what it did. Check its screen, ground and plug.`;
    case 'railed':
      return `${channel} is at the end of its range: what it measures is beyond it, or its wire is off or shorted.`;
    case 'fault':
      return `${channel} reports a fault: ${state.fault}.`;
    case 'disconnected':
      return `${channel} has been silent for ${spanText((atNs - state.heardAtNs) / 1e9)}: disconnected.`;
    case 'healthy':
      return state.health === 'waiting' ? `${channel} is there.` : `${channel} is healthy again.`;
    case 'waiting':
      return `${channel} has not spoken yet.`;
  }
}
