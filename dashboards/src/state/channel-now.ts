/**
 * What may be shown as a channel's reading now. The only way from a channel's samples to a number on the page: one whose
 * transducer is not healthy has no number, whatever it sends.
 */
import type { Health, Measured } from '../../../protocol/index.ts';
import { presents } from './live-state.ts';
import { fill, healths, vacuum, weather } from './watches.ts';

export interface ChannelNow {
  readonly health: Health;
  /** What is wrong with it, a sentence; empty while it is healthy. */
  readonly trouble: string;
  /** SI, absolute. undefined where there is no reading. */
  readonly si?: number;
  /** 95 %, where a watch follows the channel. */
  readonly expandedSi?: number;
  /** Of the newest sample in it, ns of the session. */
  readonly atNs?: number;
  /** Its watch finds it too old to use. */
  readonly isStale: boolean;
}

/** A watch that lags its channel by more has stopped speaking; the samples then speak for themselves. */
const WATCH_LAG_NS = 2e9;

export function channelNow(name: string): ChannelNow {
  const told = healths.value[name];
  const watched = watchedValue(name);
  const health = told?.health ?? (watched?.unfit ? 'fault' : 'healthy');
  if (health !== 'healthy' && health !== 'waiting') return { health, trouble: told?.words ?? '', isStale: false };
  const present = presents.value[name];
  const isStale = watched?.stale ?? false;
  if (watched?.value && watched.atNs !== undefined && (!present || present.atNs - watched.atNs < WATCH_LAG_NS)) {
    const { value, expandedUncertainty } = watched.value;
    return { health: 'healthy', trouble: '', si: value, expandedSi: expandedUncertainty, atNs: watched.atNs, isStale };
  }
  return present
    ? { health: 'healthy', trouble: '', si: present.si, atNs: present.atNs, isStale }
    : { health: 'waiting', trouble: '', isStale };
}

interface WatchedValue {
  readonly value?: Measured;
  readonly atNs?: number;
  readonly stale: boolean;
  readonly unfit: boolean;
}

function watchedValue(name: string): WatchedValue | undefined {
  for (const event of [fill.value, vacuum.value]) {
    if (event?.channel === name) return { value: event.pressurePa, atNs: event.atNs, stale: false, unfit: false };
  }
  const told = weather.value;
  const input = told?.inputs.find(({ role }) => role === name);
  if (!told || !input) return undefined;
  return {
    ...(input.value ? { value: input.value } : {}),
    ...(input.ageS === undefined ? {} : { atNs: told.atNs - input.ageS * 1e9 }),
    stale: input.flags.includes('stale'),
    unfit: input.flags.includes('unfit'),
  };
}

/** Above the air of the moment; as old as the channel's own reading. */
export function gaugeNow(name: string): ChannelNow {
  const absolute = channelNow(name);
  const air = channelNow('airPressure');
  if (absolute.si === undefined) return absolute;
  if (air.si === undefined) return { health: 'waiting', trouble: '', isStale: absolute.isStale };
  const expanded =
    absolute.expandedSi === undefined || air.expandedSi === undefined
      ? {}
      : { expandedSi: Math.hypot(absolute.expandedSi, air.expandedSi) };
  return { ...without(absolute, 'expandedSi'), si: absolute.si - air.si, ...expanded };
}

function without(now: ChannelNow, key: 'expandedSi'): ChannelNow {
  const { [key]: _, ...rest } = now;
  return rest;
}
