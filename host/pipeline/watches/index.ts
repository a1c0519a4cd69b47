export type { BlowDownFacts } from './blow-down.ts';
export { blowDownOf, blowDownWords } from './blow-down.ts';
export type {
  ChannelWatchSetup,
  FillSetup,
  LimitSetup,
  VacuumSetup,
  WatchSamples,
  WatchSetup,
  WeatherSetup,
} from './setup.ts';
export { FILL_DEFAULTS, SILENT_AFTER_S } from './setup.ts';
export type { WatchState, WatchStep } from './watches.ts';
export { acknowledge, NEW_WATCHES, passTime, takeSamples } from './watches.ts';
