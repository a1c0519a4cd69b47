/** What the watches said last: of the fill, the vacuum, the weather, each transducer and each limit. */
import { signal } from '@preact/signals';
import type {
  BlowDownEvent,
  FillEvent,
  HealthEvent,
  LimitEvent,
  RigSummary,
  VacuumEvent,
  WatchEvent,
  WeatherEvent,
} from '../../../protocol/index.ts';

export const fill = signal<FillEvent>();
export const vacuum = signal<VacuumEvent>();
export const weather = signal<WeatherEvent>();
export const blowDown = signal<BlowDownEvent>();
/** By channel. */
export const healths = signal<Readonly<Record<string, HealthEvent>>>({});
/** By the limit's id. */
export const limits = signal<Readonly<Record<string, LimitEvent>>>({});

export function takeWatch(event: WatchEvent): void {
  switch (event.type) {
    case 'fill':
      fill.value = event;
      return;
    case 'vacuum':
      vacuum.value = event;
      return;
    case 'weather':
      weather.value = event;
      return;
    case 'blow-down':
      blowDown.value = event;
      return;
    case 'health':
      healths.value = { ...healths.value, [event.channel]: event };
      return;
    case 'limit':
      limits.value = { ...limits.value, [event.id]: event };
  }
}

/** All that is in a state now; what is not told is not so. */
export function watchesFromSnapshot(events: readonly WatchEvent[]): void {
  fill.value = undefined;
  vacuum.value = undefined;
  weather.value = undefined;
  blowDown.value = undefined;
  healths.value = {};
  limits.value = {};
  for (const event of events) takeWatch(event);
}

/** A rig file that was changed may know fewer channels and limits than before. */
export function watchesOfRig({ channels, limits: known }: RigSummary): void {
  const names = new Set(channels.map(({ name }) => name));
  const ids = new Set(known.map(({ id }) => id));
  healths.value = Object.fromEntries(Object.entries(healths.value).filter(([name]) => names.has(name)));
  limits.value = Object.fromEntries(Object.entries(limits.value).filter(([id]) => ids.has(id)));
}
