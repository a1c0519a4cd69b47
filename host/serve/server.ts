/** The host's HTTP server: the built pages, the API and the live feed, on loopback where nothing else is said. */
import { existsSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import Fastify, { type FastifyInstance } from 'fastify';
import type { Logger } from 'pino';
import type { DoorsState, SessionNs } from '../../protocol/index.ts';
import { Access, type Doors } from './access/access.ts';
import { Callers } from './access/callers.ts';
import { type GateKeeping, keepGate } from './access/gate-keeper.ts';
import { isLoopback } from './access/host-name.ts';
import { SERVE_LIMITS, type ServeLimits } from './access/limits.ts';
import { addAddressRoutes } from './address-routes.ts';
import { answerBrokenRequest } from './broken-request.ts';
import type { DragDesk } from './drag/drag-desk.ts';
import { addDragRoutes } from './drag/drag-routes.ts';
import { startFlushing } from './flushing.ts';
import { addHealthRoutes } from './health-routes.ts';
import { addHistoryRoutes } from './history/history-routes.ts';
import type { HistorySource } from './history/history-source.ts';
import { LiveClients } from './live-clients.ts';
import type { LiveFeed } from './live-feed.ts';
import { addLiveSocket } from './live-socket.ts';
import type { MapDesk } from './map/map-desk.ts';
import { addMapRoutes } from './map/map-routes.ts';
import { addMetricsRoutes } from './metrics-routes.ts';
import { addActRoutes } from './operator/act-routes.ts';
import type { CrewDesk } from './operator/desk.ts';
import { PAGE_PATHS } from './page-paths.ts';
import { refuse } from './refuse.ts';
import type { ReplayDesk } from './replay/replay-desk.ts';
import { addReplayRoutes } from './replay/replay-routes.ts';
import type { SideReplayDesk } from './replay/side-replay-desk.ts';
import { addSideReplayRoutes } from './replay/side-replay-routes.ts';
import { addRoutes } from './routes.ts';
import type { SeriesDesk } from './series-desk.ts';
import { addSeriesRoutes } from './series-routes.ts';
import { serverLog } from './server-log.ts';
import type { RigFileDesk } from './set-up/rig-file-desk.ts';
import { addSetUpRoutes } from './set-up/set-up-routes.ts';
import { type ShotSource, shotsOf } from './shot-source.ts';
import { TroubleLog } from './trouble-log.ts';
import type { HostVitals } from './vitals/host-vitals.ts';

export const PORTS_TRIED_MAX = 20;

export interface ServerOptions {
  readonly feed: LiveFeed;
  /** Without one the feed's last shots answer. */
  readonly store?: ShotSource;
  /** Without one there is no past to be asked for. */
  readonly history?: HistorySource;
  /** 0 = any free one. */
  readonly port: number;
  /** The address to listen on; left out, loopback. One beyond it needs `doors.lookToken`. */
  readonly host?: string;
  /** Names and tokens; left out, whoever reaches loopback may look, and nobody write. */
  readonly doors?: Doors;
  /** Where whoever runs the host finds the tokens; left out, on the terminal. */
  readonly tokensIn?: DoorsState['tokensIn'];
  /** The rig file, to be shown and checked. */
  readonly rigFile?: RigFileDesk;
  /** Those left out are SERVE_LIMITS. */
  readonly limits?: Partial<ServeLimits>;
  /** Takes the crew's acts; without one nothing can be written. */
  readonly desk?: CrewDesk;
  /** Takes what a replay is told to do. */
  readonly replay?: ReplayDesk;
  /** Replays recorded sessions beside a live one; left out, none can be begun from a page. */
  readonly sideReplays?: SideReplayDesk;
  /** Knows the maps; without one `/api/map` says that there are none. */
  readonly maps?: MapDesk;
  /** Knows the drag; without one `/api/drag` says that there is none. */
  readonly drags?: DragDesk;
  /** The folder of the built pages. */
  readonly pagesDir: string;
  readonly log?: Logger;
  /** The server of time series that the session is sent to. */
  readonly series?: SeriesDesk;
  /** How the host does, for `/healthz` and `/metrics`. */
  readonly vitals?: HostVitals;
  /** By which addresses others reach it, from its port; left out, by none. */
  readonly addresses?: (port: number) => readonly string[];
  /** Session time now; without it, the time of the newest event. */
  readonly nowNs?: () => SessionNs;
  /** A port was taken and the next one is tried. */
  readonly onPortTaken?: (port: number) => void;
}

export interface RunningServer {
  /** By which programs on this computer reach it, such as `http://127.0.0.1:4850/`. */
  readonly url: string;
  readonly port: number;
  /** Sends what is pending, closes every page's connection and the port. */
  close(): Promise<void>;
}

/**
 * Starts to serve.
 * @throws the system's error where the port cannot be had, or where it and all the next ones are taken
 * @throws RangeError where it shall listen beyond loopback and anyone might look (caller's bug)
 */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const { feed, host = '127.0.0.1', doors = {}, log = serverLog(), nowNs = () => feed.newestNs } = options;
  if (!isLoopback(host) && doors.lookToken === undefined) throw new RangeError(`to listen on ${host} a token to look is needed`);
  const limits = { ...SERVE_LIMITS, ...options.limits };
  const gate = { access: new Access(doors), callers: new Callers(limits, () => performance.now()) };
  const clients = new LiveClients(feed, log, limits.clientsMax);
  const parts = { clients, gate, limits, log, nowNs };
  const { app, port } = await listen(() => makeApp(options, parts), { ...options, host, log });
  const stopFlushing = startFlushing(feed, clients, nowNs);
  return {
    url: urlOf(EVERYWHERE.get(host) ?? host, port),
    port,
    async close() {
      stopFlushing();
      clients.closeAll();
      await app.close();
    },
  };
}

/** What stands for every address of this computer, and by which of them it reaches itself. */
const EVERYWHERE: ReadonlyMap<string, string> = new Map([
  ['0.0.0.0', '127.0.0.1'],
  ['::', '::1'],
]);

/** @param host  an address or a name */
export const urlOf = (host: string, port: number): string => `http://${host.includes(':') ? `[${host}]` : host}:${port}/`;

interface AppParts {
  readonly clients: LiveClients;
  readonly gate: GateKeeping;
  readonly limits: ServeLimits;
  readonly log: Logger;
  readonly nowNs: () => SessionNs;
}

async function makeApp(options: ServerOptions, { clients, gate, limits, log, nowNs }: AppParts): Promise<FastifyInstance> {
  const { headMs, requestMs, idleMs, headBytesMax } = limits;
  const app = Fastify({
    loggerInstance: log,
    // Addresses and heads of requests may hold anything, tokens among it.
    logController: new TroubleLog(),
    clientErrorHandler: answerBrokenRequest,
    bodyLimit: 1024,
    forceCloseConnections: true,
    requestTimeout: requestMs,
    connectionTimeout: idleMs,
    keepAliveTimeout: idleMs,
    http: { headersTimeout: headMs, connectionsCheckingInterval: Math.min(headMs, 1_000), maxHeaderSize: headBytesMax },
  }) as unknown as FastifyInstance;
  keepGate(app, gate);
  app.setNotFoundHandler((_request, reply) => refuse(reply, 404, 'not-found', 'there is nothing at this address'));
  addRoutes(app, { feed: options.feed, shots: shotsOf(options.feed, options.store), clients, nowNs });
  addHistoryRoutes(app, { history: options.history, sessionNow: () => options.feed.sessionId });
  addHealthRoutes(app, options.vitals);
  addSeriesRoutes(app, options.series);
  addMetricsRoutes(app, { clients, vitals: options.vitals });
  const portNow = () => (app.server.address() as AddressInfo | null)?.port ?? options.port;
  addAddressRoutes(app, { addresses: () => options.addresses?.(portNow()) ?? [], lookToken: options.doors?.lookToken });
  addSetUpRoutes(app, { clients, doors: doorsOf(options), rigFile: options.rigFile });
  addActRoutes(app, { desk: options.desk, acts: limits.acts });
  addMapRoutes(app, options.maps);
  addDragRoutes(app, options.drags);
  if (options.replay) addReplayRoutes(app, options.replay, limits.acts);
  addSideReplayRoutes(app, options.sideReplays, limits.acts);
  await addPages(app, options.pagesDir);
  addLiveSocket(app.server, { ...gate, clients, nowNs });
  return app;
}

/** Their names change with what they hold. */
const UNCHANGING = 'public, max-age=31536000, immutable';
const ASK_AGAIN = 'public, max-age=0';

const doorsOf = ({ doors, tokensIn = 'terminal' }: ServerOptions): DoorsState => ({
  lookNeedsToken: doors?.lookToken !== undefined,
  tokensIn,
});

/** The page's own files hold no data, and are there before it can show a token. */
async function addPages(app: FastifyInstance, pagesDir: string): Promise<void> {
  await app.register(async (pages) => {
    pages.addHook('onRoute', (route) => {
      route.config = { ...route.config, access: 'open' };
    });
    if (existsSync(join(pagesDir, 'index.html'))) {
      const named = join(pagesDir, 'assets', '/');
      await pages.register(fastifyStatic, {
        root: pagesDir,
        index: false,
        dotfiles: 'ignore',
        // By the copies that lie beside them: nothing is compressed while a shot may come.
        preCompressed: true,
        cacheControl: false,
        setHeaders: (response, path) => {
          response.setHeader('cache-control', path.startsWith(named) ? UNCHANGING : ASK_AGAIN);
          response.setHeader('vary', 'accept-encoding');
        },
      });
      for (const path of ['/', ...PAGE_PATHS]) pages.get(path, (_request, reply) => reply.sendFile('index.html'));
    } else {
      pages.get('/', (_request, reply) => refuse(reply, 503, 'no-pages', 'the pages are not built: run `npm run build:pages`'));
    }
  });
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
