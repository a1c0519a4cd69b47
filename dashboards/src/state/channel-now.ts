/**
 * What may be shown as a channel's reading now. The only way from a channel's samples to a number on the page: one whose
 * transducer is not healthy has no number, whatever it sends.
 */
import type { Health, Measured } from '../../../protocol/index.ts';
import { presents, rig } from './live-state.ts';
import { fill, healths, vacuum, weather } from './watches.ts';

export interface ChannelNow {
  readonly health: Health;
  /** What is wrong with it, a sentence; empty while it is healthy. */
  readonly trouble: string;
  /** SI, absolute. undefined where there is no reading. */
  readonly si?: number;
  /** 95 %: its watch's, and where none follows the channel that of one reading as the rig file states it. */
  readonly expandedSi?: number;
  /** Of the same above the air, where the instrument itself counts from there: the barometer has no part in it. */
  readonly gaugeExpandedSi?: number;
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
    ? { health: 'healthy', trouble: '', si: present.si, atNs: present.atNs, isStale, ...statedFor(name) }
    : { health: 'waiting', trouble: '', isStale };
}

function statedFor(name: string): Pick<ChannelNow, 'expandedSi' | 'gaugeExpandedSi'> {
  const channel = rig.value?.channels.find((each) => each.name === name);
  if (!channel) return {};
  const { expandedUncertaintySi: expandedSi, reference } = channel;
  if (reference === 'absolute' || name === 'airPressure') return { expandedSi };
  const airExpandedSi = channelNow('airPressure').expandedSi ?? 0;
  return { expandedSi: Math.hypot(expandedSi, airExpandedSi), gaugeExpandedSi: expandedSi };
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
  const { expandedSi: absoluteExpandedSi, gaugeExpandedSi, ...rest } = absolute;
  const expandedSi =
    gaugeExpandedSi ??
    (absoluteExpandedSi === undefined || air.expandedSi === undefined ? undefined : Math.hypot(absoluteExpandedSi, air.expandedSi));
  return { ...rest, si: absolute.si - air.si, ...(expandedSi === undefined ? {} : { expandedSi }) };
}
