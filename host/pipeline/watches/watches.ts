/**
 * All watches of a rig as one fold: samples and time go in, states and events come out. Each channel's health is judged
 * first; only a healthy channel's numbers go on to the fill, the vacuum and the weather. Limits see every number.
 */
import type { SessionNs, WatchEvent } from '../../../protocol/index.ts';
import { takeFill } from './fill.ts';
import { type FillState, NEW_FILL } from './fill-state.ts';
import { type HealthState, NEW_HEALTH, passHealthTime, takeHealth, touchesRail } from './health.ts';
import { acknowledgeLimit, type LimitWatch, NEW_LIMIT, takeLimit } from './limits.ts';
import type { ChannelWatchSetup, LimitSetup, WatchSamples, WatchSetup } from './setup.ts';
import { NEW_VACUUM, takeVacuum, type VacuumState } from './vacuum.ts';
import { NEW_WEATHER, passWeatherTime, takeWeather, type WeatherChannels, type WeatherState } from './weather.ts';

export interface WatchState {
  readonly health: Readonly<Record<string, HealthState>>;
  readonly limits: Readonly<Record<string, LimitWatch>>;
  readonly fill: FillState;
  readonly vacuum: VacuumState;
  readonly weather: WeatherState;
  /** Of the channels that others are held against, while they are healthy: mean of the newest block. */
  readonly newest: Readonly<Record<string, { readonly si: number; readonly atNs: SessionNs }>>;
}

export type WatchStep = readonly [WatchState, readonly WatchEvent[]];

export const NEW_WATCHES: WatchState = { health: {}, limits: {}, fill: NEW_FILL, vacuum: NEW_VACUUM, weather: NEW_WEATHER, newest: {} };

/** Samples of a channel that the setup does not name are passed by. */
export function takeSamples(state: WatchState, setup: WatchSetup, samples: WatchSamples): WatchStep {
  const channel = setup.channels.find((each) => each.channel === samples.channel);
  if (!channel) return [state, []];
  const [health, healthEvents] = takeHealth(healthOf(state, channel.channel), channel, samples);
  const isHealthy = health.health === 'healthy';
  const events: WatchEvent[] = [...healthEvents];
  let next: WatchState = { ...state, health: { ...state.health, [channel.channel]: health } };
  for (const limit of setup.limits) {
    if (limit.channel !== channel.channel) continue;
    const before = next.limits[limit.id] ?? NEW_LIMIT;
    const judged = limit.kind === 'differsFrom' ? differenceOf(state, limit, samples) : samples;
    if (!judged) continue;
    const [watch, told] = takeLimit(before, limit, judged, isHealthy);
    if (watch !== before) next = { ...next, limits: { ...next.limits, [limit.id]: watch } };
    events.push(...told);
  }
  if (!isHealthy || touchesRail(channel, samples)) return [next, events];
  if (setup.limits.some(({ from }) => from === channel.channel))
    next = { ...next, newest: { ...next.newest, [channel.channel]: newestOf(samples) } };
  if (setup.fill?.channel === channel.channel) {
    const [fill, told] = takeFill(next.fill, setup.fill, channel, samples);
    next = { ...next, fill };
    events.push(...told);
  }
  if (setup.vacuum?.channel === channel.channel) {
    const [vacuum, told] = takeVacuum(next.vacuum, setup.vacuum, channel, samples);
    next = { ...next, vacuum };
    events.push(...told);
  }
  if (setup.weather) {
    const [weather, told] = takeWeather(next.weather, setup.weather, channelsOf(next, setup), samples);
    if (weather !== next.weather) next = { ...next, weather };
    events.push(...told);
  }
  return [next, events];
}

const newestOf = ({ valuesSi, atNs }: WatchSamples) => ({ si: valuesSi.reduce((sum, value) => sum + value, 0) / valuesSi.length, atNs });

/** The other's newest must be newer than this. */
const TOGETHER_NS = 2e9;

/** @returns undefined where the other channel has nothing to hold these against */
function differenceOf({ newest }: WatchState, { from }: LimitSetup, samples: WatchSamples): WatchSamples | undefined {
  const other = from !== undefined && Object.hasOwn(newest, from) ? newest[from] : undefined;
  if (!other || samples.atNs - other.atNs > TOGETHER_NS) return undefined;
  return { ...samples, valuesSi: samples.valuesSi.map((value) => Math.abs(value - other.si)) };
}

/** Whatever waits for time to pass: silence, and the age of the weather. */
export function passTime(state: WatchState, setup: WatchSetup, atNs: SessionNs): WatchStep {
  const events: WatchEvent[] = [];
  let next = state;
  for (const channel of setup.channels) {
    const before = next.health[channel.channel];
    if (!before) continue;
    const [health, told] = passHealthTime(before, channel, atNs);
    if (health === before) continue;
    next = { ...next, health: { ...next.health, [channel.channel]: health } };
    events.push(...told);
  }
  if (setup.weather && next.weather !== NEW_WEATHER) {
    const [weather, told] = passWeatherTime(next.weather, setup.weather, channelsOf(next, setup), atNs);
    if (weather !== next.weather) next = { ...next, weather };
    events.push(...told);
  }
  return [next, events];
}

/** An operator acknowledges a limit. One that the setup does not name, or that has nothing to acknowledge, changes nothing. */
export function acknowledge(
  state: WatchState,
  setup: WatchSetup,
  act: { readonly limitId: string; readonly who: string; readonly atNs: SessionNs },
): WatchStep {
  const limit = setup.limits.find((each) => each.id === act.limitId);
  const watch = limit && state.limits[limit.id];
  if (!limit || !watch) return [state, []];
  const channelHealthy = healthOf(state, limit.channel).health === 'healthy';
  const [next, events] = acknowledgeLimit(watch, limit, { who: act.who, atNs: act.atNs, channelHealthy });
  return [{ ...state, limits: { ...state.limits, [limit.id]: next } }, events];
}

const healthOf = (state: WatchState, channel: string): HealthState => state.health[channel] ?? NEW_HEALTH;

function channelsOf(state: WatchState, setup: WatchSetup): WeatherChannels {
  return {
    setupOf: (name) => setup.channels.find((each) => each.channel === name) ?? unknownChannel(name),
    isUnfit: (name) => {
      const { health } = healthOf(state, name);
      return health !== 'healthy' && health !== 'waiting';
    },
  };
}

function unknownChannel(name: string): ChannelWatchSetup {
  throw new RangeError(`the weather watch is told of channel ${name}, and the setup has no such channel`);
}
