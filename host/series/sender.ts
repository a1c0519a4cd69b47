/**
 * One batch of lines to the server, and what became of it. Whether to try again is decided here and nowhere else: the
 * client's own buffer for retries drops what it cannot hold, so it is never given a second try. The journal is the queue.
 */
import { Agent as HttpAgent } from 'node:http';
import { Agent as HttpsAgent } from 'node:https';
import type { Socket } from 'node:net';
import { HttpError, InfluxDB, setLogger, type WriteApi } from '@influxdata/influxdb-client';
import { authorization, isOnLoopback, type SeriesServer, writePath } from './server.ts';
import { wasReset } from './torn-line.ts';

/** Lines of one batch, at most. */
export const BATCH_LINES_MAX = 5_000;
/** And bytes: a server may refuse more than 25 MB. */
export const BATCH_BYTES_MAX = 4_000_000;
const LINES_MAX = 2 * BATCH_LINES_MAX;
export const IN_FLIGHT_MAX = 4;
/** Without a byte. */
const TIMEOUT_MS = 10_000;
/** For one batch, whatever comes. */
const DEADLINE_MS = 60_000;
/** Of a refusal's reason, characters. */
const REASON_MAX = 300;

/**
 * taken: the server has said so. refused: it will never take all of it as it is. later: it could not now.
 */
export type SendOutcome =
  | { readonly what: 'taken' }
  | { readonly what: 'refused'; readonly reason: string }
  | {
      readonly what: 'later';
      readonly reason: string;
      /** As the server asks, s. */
      readonly retryAfterS?: number;
      /** It, or the way to it, was lost: what it took a moment ago may be gone with it. */
      readonly isLost: boolean;
    };

export interface LineSender {
  /**
   * @param lines  at most twice BATCH_LINES_MAX: a batch ends with a record
   * @throws (rejects) RangeError for more (caller's bug)
   */
  send(lines: readonly string[]): Promise<SendOutcome>;
  close(): void;
}

export interface LineSenderOptions {
  /** Told where a connection ends that neither side had said would. */
  readonly onConnectionLost?: () => void;
  /** Told where one was reset while a batch was under way: the server may have a line of it torn. */
  readonly onReset?: () => void;
}

export function lineSender(server: SeriesServer, options: LineSenderOptions = {}): LineSender {
  const { onConnectionLost = () => undefined, onReset = () => undefined } = options;
  // What the client would write to the console, every outcome says.
  setLogger({ error: () => undefined, warn: () => undefined });
  const agent = watchedAgent(server.url, onConnectionLost);
  const client = new InfluxDB({
    url: server.url,
    timeout: TIMEOUT_MS,
    headers: { ...authorization(server) },
    transportOptions: { agent },
  });
  const api: WriteApi = client.getWriteApi(server.org ?? '', server.bucket ?? '', 'ns', {
    // Beyond either it would send by itself, and of what becomes of that nobody hears. A whole batch is one record to it.
    batchSize: 2,
    maxBatchBytes: Number.MAX_SAFE_INTEGER,
    flushInterval: 0,
    maxRetries: 0,
    ...(isOnLoopback(server) ? { gzipThreshold: Number.MAX_SAFE_INTEGER } : {}),
  });
  api.path = writePath(server);
  return {
    send: async (lines) => {
      if (lines.length > LINES_MAX) throw new RangeError(`${lines.length} lines in one batch`);
      api.writeRecord(lines.join('\n'));
      // The client leaves a request that timed out where it is, and with it its connection.
      const late = setTimeout(() => agent.destroy(), DEADLINE_MS);
      try {
        await api.flush();
        return { what: 'taken' };
      } catch (error) {
        if (!(error instanceof HttpError)) agent.destroy();
        if (wasReset(error)) onReset();
        return outcomeOf(error, server.secret);
      } finally {
        clearTimeout(late);
      }
    },
    close: () => agent.end(),
  };
}

function outcomeOf(error: unknown, secret: string | undefined): SendOutcome {
  const shown = (text: string): string => shortReason(secret === undefined ? text : text.replaceAll(secret, '…'));
  if (!(error instanceof HttpError)) {
    return { what: 'later', reason: shown(error instanceof Error ? error.message || codeOf(error) : String(error)), isLost: true };
  }
  const { statusCode, headers } = error;
  const reason = shown(wordsOf(error));
  switch (statusCode) {
    case 400:
    case 413:
    case 422:
      return { what: 'refused', reason };
    case 401:
    case 403:
      return { what: 'later', reason: `it does not let us write (${reason}); see to the token, or to user and password`, isLost: false };
    case 404:
      return {
        what: 'later',
        reason: `it has no such place (${reason}); make the database or bucket, or correct the address`,
        isLost: false,
      };
    default: {
      const after = retryAfterS(headers?.['retry-after']);
      // Of a server behind a gateway, a gateway's word is all that is heard of its end.
      const isLost = statusCode === 502 || statusCode === 504;
      return { what: 'later', reason, isLost, ...(after === undefined ? {} : { retryAfterS: after }) };
    }
  }
}

/** `Error: connect ECONNREFUSED` has words; what several addresses refused has only a code. */
const codeOf = (error: Error): string => String((error as NodeJS.ErrnoException).code ?? error.name);

function wordsOf({ statusCode, statusMessage, json, body }: HttpError): string {
  const said: unknown = (json as { error?: unknown; message?: unknown } | undefined)?.error ?? json?.message;
  return `${statusCode} ${typeof said === 'string' ? said : (body ?? statusMessage ?? '')}`.trim();
}

export function shortReason(text: string): string {
  const line = text.replace(/\p{Cc}+/gu, ' ').trim();
  return line.length > REASON_MAX ? `${line.slice(0, REASON_MAX)}…` : line;
}

/** Seconds or a date, by RFC 9110, 10.2.3; the client takes the seconds for milliseconds. @returns at most an hour */
export function retryAfterS(header: string | readonly string[] | undefined, nowMs = Date.now()): number | undefined {
  const text = typeof header === 'string' ? header.trim() : '';
  const seconds = /^\d+$/.test(text) ? Number(text) : /GMT$/.test(text) ? (Date.parse(text) - nowMs) / 1000 : Number.NaN;
  return Number.isFinite(seconds) ? Math.min(3600, Math.max(0, seconds)) : undefined;
}

/** Keeps as many connections as batches are under way, and tells where one ends by itself. */
function watchedAgent(url: string, onLost: () => void): HttpAgent & { end(): void } {
  const Kind = url.startsWith('https:') ? HttpsAgent : HttpAgent;
  let isOver = false;
  class WatchedAgent extends Kind {
    override keepSocketAlive(socket: Socket): boolean {
      watch(socket);
      return super.keepSocketAlive(socket) as unknown as boolean;
    }
    end(): void {
      isOver = true;
      this.destroy();
    }
  }
  const watched = new WeakSet<Socket>();
  /** From when it is kept for further requests: one that the server had announced to close is never kept. */
  const watch = (socket: Socket): void => {
    if (watched.has(socket)) return;
    watched.add(socket);
    socket.once('close', () => {
      if (!isOver) onLost();
    });
  };
  // In turn, so that none lies idle until the server shuts it, which would look like its end.
  return new WatchedAgent({ keepAlive: true, maxSockets: IN_FLIGHT_MAX, scheduling: 'fifo' });
}
