/** The door to `/live`: who may open a WebSocket there, and from which event on. */
import type { IncomingMessage, Server } from 'node:http';
import type { Duplex } from 'node:stream';
import { type ServerOptions, WebSocketServer } from 'ws';
import type { SessionNs } from '../../protocol/index.ts';
import type { LiveClients, ResumePoint } from './live-clients.ts';
import { isLoopbackHost, isOwnOrigin } from './loopback.ts';

/** Pages have nothing to say; whoever sends more than this is closed. */
export const INCOMING_BYTES_MAX = 1024;
const CLOSE_TIMEOUT_MS = 2_000;

export function addLiveSocket(server: Server, clients: LiveClients, nowNs: () => SessionNs): void {
  // The option is newer than its type.
  const options: ServerOptions & { closeTimeout: number } = {
    noServer: true,
    maxPayload: INCOMING_BYTES_MAX,
    perMessageDeflate: false,
    clientTracking: false,
    closeTimeout: CLOSE_TIMEOUT_MS,
  };
  const sockets = new WebSocketServer(options);
  server.on('upgrade', (request, socket, head) => {
    socket.on('error', () => socket.destroy());
    const { host, origin } = request.headers;
    if (!isLoopbackHost(host)) return turnAway(socket, 421, 'Misdirected Request');
    if (!isOwnOrigin(origin, host)) return turnAway(socket, 403, 'Forbidden');
    const url = urlOf(request);
    if (url?.pathname !== '/live') return turnAway(socket, 404, 'Not Found');
    sockets.handleUpgrade(request, socket, head, (page) => {
      // What a page sends is read, so that its pongs are, and dropped.
      page.on('message', () => undefined);
      clients.add(page, resumePointOf(url), nowNs());
    });
  });
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

function turnAway(socket: Duplex, status: number, reason: string): void {
  socket.end(`HTTP/1.1 ${status} ${reason}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`);
}
