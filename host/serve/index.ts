export type { LiveFeedOptions } from './live-feed.ts';
export { LiveFeed } from './live-feed.ts';
export type { RunningServer, ServerOptions } from './server.ts';
export { startServer } from './server.ts';
export type { ShotSource } from './shot-source.ts';
