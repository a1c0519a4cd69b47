export type { ExportQuery } from './export/export-query.ts';
export type { ExportedEvent, ExportedSample, StoredChannel } from './export/export-rows.ts';
export { StoreDamagedError, StoreLockedError, type StoreProblem, type StoreProblemCode, StoreUnusableError } from './problems.ts';
export type { ChannelQuery, ChannelSecond, ShotQuery, StoredSession } from './queries.ts';
export { replaceStore, type StoreReplacement, storedSessionIds } from './replacement.ts';
export { type ChannelSpan, SPAN_CHANNELS_MAX, SPAN_POINTS_MAX, type Span, type SpanQuery } from './samples/read-span.ts';
export { Store, type StoreOptions } from './store.ts';
export { KEEPS, type Keep, type ThinningPlan } from './thinning.ts';
export type { Dropped } from './write-queue.ts';
