export type { LiveFeedOptions } from './live-feed.ts';
export { LiveFeed } from './live-feed.ts';
export type { CrewDesk, ShownPoint } from './operator/desk.ts';
export { newToken } from './operator/token.ts';
export type { RunningServer, ServerOptions } from './server.ts';
export { startServer } from './server.ts';
export type { ShotSource } from './shot-source.ts';
export type { HealthStatus, HostHealth, HostVitals } from './vitals/host-vitals.ts';
export type { MetricFamily, MetricSample } from './vitals/open-metrics.ts';
