/** The door to `/live`: who may open a WebSocket there, and from which event on. */
import { type IncomingMessage, type Server, STATUS_CODES } from 'node:http';
import type { Duplex } from 'node:stream';
import { type ServerOptions, WebSocketServer } from 'ws';
import type { SessionNs } from '../../protocol/index.ts';
import type { GateKeeping } from './access/gate-keeper.ts';
import { LIVE_PROTOCOL, liveTokenOf } from './access/token.ts';
import type { LiveClients, ResumePoint } from './live-clients.ts';

/** Pages have nothing to say; whoever sends more than this is closed. */
export const INCOMING_BYTES_MAX = 1024;
const CLOSE_TIMEOUT_MS = 2_000;
/**
 * The history that a page begins with is ten minutes of every channel: packed it is a quarter, and on a phone's line that
 * is seconds. What comes afterwards is sent as it is (`live-clients.ts`). One at a time, so that pages that come back
 * together take no more than one of the threads that the journal's disk is waited for on.
 */
const PACKING = {
  threshold: 16 * 1024,
  concurrencyLimit: 1,
  serverNoContextTakeover: true,
  clientNoContextTakeover: true,
  zlibDeflateOptions: { level: 3 },
} as const;

export interface LiveSocketParts extends GateKeeping {
  readonly clients: LiveClients;
  readonly nowNs: () => SessionNs;
}

export function addLiveSocket(server: Server, parts: LiveSocketParts): void {
  const { clients, nowNs } = parts;
  // The option is newer than its type.
  const options: ServerOptions & { closeTimeout: number } = {
    noServer: true,
    maxPayload: INCOMING_BYTES_MAX,
    perMessageDeflate: PACKING,
    clientTracking: false,
    closeTimeout: CLOSE_TIMEOUT_MS,
    // Never the one that carries a token: what is chosen is said again in the answer.
    handleProtocols: (offered) => (offered.has(LIVE_PROTOCOL) ? LIVE_PROTOCOL : false),
  };
  const sockets = new WebSocketServer(options);
  server.on('upgrade', (request, socket, head) => {
    socket.on('error', () => socket.destroy());
    const url = urlOf(request);
    const status = refusalOf(request, url, parts);
    if (status !== undefined || !url) return turnAway(socket, status ?? 404);
    sockets.handleUpgrade(request, socket, head, (page) => {
      // What a page sends is read, so that its pongs are, and dropped.
      page.on('message', () => undefined);
      const caller = { address: request.socket.remoteAddress ?? '', mayAct: parts.access.mayAct(liveTokenOf(request.headers)) };
      clients.add(page, resumePointOf(url), nowNs(), caller);
    });
  });
}

/** @returns the status to turn it away with; undefined where it may come in */
function refusalOf(request: IncomingMessage, url: URL | undefined, { access, callers }: GateKeeping): number | undefined {
  const { headers, socket } = request;
  const wrongName = access.wrongName({ headers, localAddress: socket.localAddress });
  if (wrongName) return wrongName.status;
  if (!callers.mayAsk(socket.remoteAddress ?? '')) return 429;
  if (url?.pathname !== '/live') return 404;
  return access.refusal('look', headers, liveTokenOf(headers))?.status;
}

function urlOf(request: IncomingMessage): URL | undefined {
  try {
    return new URL(request.url ?? '', 'http://localhost');
  } catch {
    return undefined;
  }
}

function resumePointOf(url: URL): ResumePoint | undefined {
  const sessionId = url.searchParams.get('session');
  const since = url.searchParams.get('since');
  return sessionId !== null && since !== null && /^\d{1,15}$/.test(since) ? { sessionId, since: Number(since) } : undefined;
}

function turnAway(socket: Duplex, status: number): void {
  socket.end(`HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`);
}
