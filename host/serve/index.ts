export type { LiveFeedOptions } from './live-feed.ts';
export { LiveFeed } from './live-feed.ts';
export type { CrewDesk, ShownPoint } from './operator/desk.ts';
export { newToken } from './operator/token.ts';
export type { RunningServer, ServerOptions } from './server.ts';
export { startServer } from './server.ts';
export type { ShotSource } from './shot-source.ts';
