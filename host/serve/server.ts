/** The host's HTTP server: the built pages, the API and the live feed, on loopback. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import Fastify, { type FastifyInstance } from 'fastify';
import { type Logger, pino } from 'pino';
import type { SessionNs } from '../../protocol/index.ts';
import { LiveClients } from './live-clients.ts';
import type { LiveFeed } from './live-feed.ts';
import { addLiveSocket } from './live-socket.ts';
import { isLoopbackHost } from './loopback.ts';
import { addActRoutes } from './operator/act-routes.ts';
import type { CrewDesk } from './operator/desk.ts';
import { refuse } from './refuse.ts';
import type { ReplayDesk } from './replay/replay-desk.ts';
import { addReplayRoutes } from './replay/replay-routes.ts';
import { addRoutes } from './routes.ts';
import { securityHeaders } from './security-headers.ts';
import { type ShotSource, shotsOf } from './shot-source.ts';

/** Envelopes go at most ten times a second. */
export const FLUSH_EVERY_MS = 100;
export const PORTS_TRIED_MAX = 20;

export interface ServerOptions {
  readonly feed: LiveFeed;
  /** Without one the feed's last shots answer. */
  readonly store?: ShotSource;
  /** 0 = any free one. */
  readonly port: number;
  readonly host?: '127.0.0.1' | '::1';
  /** Takes the crew's acts; without one nothing can be written. */
  readonly desk?: CrewDesk;
  /** Takes what a replay is told to do. */
  readonly replay?: ReplayDesk;
  /** The folder of the built pages. */
  readonly pagesDir: string;
  readonly log?: Logger;
  /** Session time now; without it, the time of the newest event. */
  readonly nowNs?: () => SessionNs;
  /** A port was taken and the next one is tried. */
  readonly onPortTaken?: (port: number) => void;
}

export interface RunningServer {
  /** Such as `http://127.0.0.1:4850/`. */
  readonly url: string;
  readonly port: number;
  /** Sends what is pending, closes every page's connection and the port. */
  close(): Promise<void>;
}

/**
 * Starts to serve.
 * @throws the system's error where the port cannot be had, or where it and all the next ones are taken
 */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const { feed, host = '127.0.0.1', log = pino({ level: 'silent' }), nowNs = () => feed.newestNs } = options;
  const clients = new LiveClients(feed, log);
  const { app, port } = await listen(() => makeApp(options, clients, log, nowNs), { ...options, host, log });
  const timer = setInterval(() => clients.flush(nowNs()), FLUSH_EVERY_MS);
  let urgent: NodeJS.Immediate | undefined;
  // Once what has arrived with it is taken too: one record may tell of several things.
  feed.onUrgent = () => {
    urgent ??= setImmediate(() => {
      urgent = undefined;
      clients.flushEvents(nowNs());
    });
  };
  return {
    url: `http://${host.includes(':') ? `[${host}]` : host}:${port}/`,
    port,
    async close() {
      clearInterval(timer);
      if (urgent) clearImmediate(urgent);
      feed.onUrgent = () => undefined;
      clients.flush(nowNs());
      clients.closeAll();
      await app.close();
    },
  };
}

async function makeApp(options: ServerOptions, clients: LiveClients, log: Logger, nowNs: () => SessionNs): Promise<FastifyInstance> {
  const app = Fastify({ loggerInstance: log, bodyLimit: 1024, forceCloseConnections: true }) as unknown as FastifyInstance;
  app.addHook('onRequest', async (request, reply) => {
    const { host } = request.headers;
    if (!isLoopbackHost(host)) return refuse(reply, 421, 'not-this-host', 'this server answers to localhost and 127.0.0.1 only');
    reply.headers(securityHeaders(host));
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store');
  });
  app.setNotFoundHandler((_request, reply) => refuse(reply, 404, 'not-found', 'there is nothing at this address'));
  addRoutes(app, { feed: options.feed, shots: shotsOf(options.feed, options.store), clients, nowNs });
  addActRoutes(app, { desk: options.desk });
  if (options.replay) addReplayRoutes(app, options.replay);
  await addPages(app, options.pagesDir);
  addLiveSocket(app.server, clients, nowNs);
  return app;
}

async function addPages(app: FastifyInstance, pagesDir: string): Promise<void> {
  if (existsSync(join(pagesDir, 'index.html'))) {
    await app.register(fastifyStatic, { root: pagesDir, index: 'index.html', cacheControl: true, maxAge: 0, dotfiles: 'ignore' });
  } else {
    app.get('/', (_request, reply) => refuse(reply, 503, 'no-pages', 'the pages are not built: run `npm run build:pages`'));
  }
}

/** A server that failed to listen is not used again: each try makes its own. */
async function listen(
  make: () => Promise<FastifyInstance>,
  { port, host, log, onPortTaken }: Pick<ServerOptions, 'port' | 'onPortTaken'> & { host: string; log: Logger },
): Promise<{ app: FastifyInstance; port: number }> {
  for (let tried = port; ; tried += 1) {
    const app = await make();
    try {
      await app.listen({ port: tried, host });
      const address = app.server.address();
      return { app, port: address !== null && typeof address === 'object' ? address.port : tried };
    } catch (error) {
      await app.close();
      const taken = (error as NodeJS.ErrnoException).code === 'EADDRINUSE';
      if (!taken || tried + 1 >= port + PORTS_TRIED_MAX || tried >= 65_535) throw error;
      log.warn({ port: tried }, 'port taken, trying the next');
      onPortTaken?.(tried);
    }
  }
}
