/**
 * The connected pages. Each is sent what the feed flushes; one that cannot keep up is first spared the envelopes,
 * then let go. Nobody waits for it.
 */
import type { Logger } from 'pino';
import type { WebSocket } from 'ws';
import type { LiveMessage, PageClients, SessionNs } from '../../protocol/index.ts';
import { SERVE_LIMITS } from './access/limits.ts';
import type { LiveFeed } from './live-feed.ts';

/** Unsent bytes above which a client gets no envelopes. */
export const THIN_ABOVE_BYTES = 256 * 1024;
/** Unsent bytes above which a client is closed, over and above the snapshot it began with; it may connect again and resume. */
export const CLOSE_ABOVE_BYTES = 4 * 1024 * 1024;
/** Flushes between two pings; a client that answered none in between is gone. */
const PING_EVERY_FLUSHES = 150;

/** From the range that the protocol leaves to applications, RFC 6455 7.4.2. */
export const CLOSE_CODE = { tooSlow: 4008, tooMany: 4013 } as const;

/** Bytes in UTF-8 go as what they are. */
const AS_TEXT = { binary: false, compress: false } as const;
/** What a page begins with, where its browser takes it so. */
const PACKED = { binary: false, compress: true } as const;

/** Who is at the other end. */
export interface Caller {
  readonly address: string;
  /** It showed the crew's token. */
  readonly mayAct: boolean;
}

const NOBODY_KNOWN: Caller = { address: '', mayAct: false };
/** In one list; 256 pages are what a host takes where nobody says otherwise. */
const LISTED_MAX = 256;

interface Client {
  readonly socket: WebSocket;
  readonly caller: Caller;
  /** ms of a clock that only goes forward. */
  readonly sinceMs: number;
  started: boolean;
  answered: boolean;
  /** Of the snapshot that it was sent. */
  snapshotBytes: number;
  /** Since when envelopes were held back. */
  thinnedFromNs: SessionNs | undefined;
}

export interface ResumePoint {
  readonly sessionId: string;
  readonly since: number;
}

export class LiveClients {
  readonly #feed: LiveFeed;
  readonly #log: Logger;
  readonly #clientsMax: number;
  readonly #clients = new Set<Client>();
  readonly #texts = new WeakMap<LiveMessage, Buffer>();
  readonly #tally = { thinned: 0, dropped: 0, refused: 0 };
  #flushes = 0;

  constructor(feed: LiveFeed, log: Logger, clientsMax = SERVE_LIMITS.clientsMax) {
    this.#feed = feed;
    this.#log = log;
    this.#clientsMax = clientsMax;
  }

  get count(): number {
    return this.#clients.size;
  }

  /** Since the start: spared the envelopes, let go, turned away. */
  get tally(): { readonly thinned: number; readonly dropped: number; readonly refused: number } {
    return { ...this.#tally };
  }

  /** In the order of their coming, bounded. */
  list(): PageClients {
    const nowMs = performance.now();
    const clients = [...this.#clients].slice(0, LISTED_MAX).map(({ caller, sinceMs, thinnedFromNs }) => ({
      ...caller,
      connectedForS: Math.floor((nowMs - sinceMs) / 1000),
      isThinned: thinnedFromNs !== undefined,
    }));
    return { clients, inAll: this.#clients.size };
  }

  add(socket: WebSocket, resume: ResumePoint | undefined, nowNs: SessionNs, caller = NOBODY_KNOWN): void {
    // Without a listener a broken socket would end the process.
    socket.on('error', (error) => this.#log.info({ err: error }, 'page connection failed'));
    if (this.#clients.size >= this.#clientsMax) {
      this.#tally.refused += 1;
      this.#log.warn({ viewersMax: this.#clientsMax }, 'page turned away: there are as many as are allowed');
      socket.close(CLOSE_CODE.tooMany, `at most ${this.#clientsMax} pages at a time`);
      return;
    }
    const state = { started: false, answered: true, snapshotBytes: 0, thinnedFromNs: undefined };
    const client: Client = { socket, caller, sinceMs: performance.now(), ...state };
    this.#clients.add(client);
    this.#log.info({ viewers: this.#clients.size }, 'page connected');
    socket.on('close', () => {
      this.#clients.delete(client);
      this.#log.info({ viewers: this.#clients.size }, 'page gone');
    });
    socket.on('pong', () => {
      client.answered = true;
    });
    const missed = resume && this.#feed.resume(resume.sessionId, resume.since, nowNs);
    if (!missed) {
      this.#start(client, nowNs);
      return;
    }
    client.started = true;
    for (const message of missed) socket.send(this.#textOf(message), message.type === 'envelope' ? PACKED : AS_TEXT);
  }

  /** What cannot wait for the next flush. */
  flushEvents(nowNs: SessionNs): void {
    this.#sendAll(this.#feed.flushEvents(nowNs), nowNs);
  }

  flush(nowNs: SessionNs): void {
    this.#sendAll(this.#feed.flush(nowNs), nowNs);
    this.#flushes += 1;
    if (this.#flushes % PING_EVERY_FLUSHES === 0) this.#pingAll();
  }

  #sendAll(messages: readonly LiveMessage[], nowNs: SessionNs): void {
    // Once for all of them: two hundred pages share one copy of what they have not taken yet.
    const texts = this.#clients.size === 0 ? [] : messages.map((message) => ({ message, text: this.#textOf(message) }));
    for (const client of this.#clients) {
      if (client.started) this.#send(client, texts, nowNs);
      else this.#start(client, nowNs);
    }
  }

  /** Put into bytes once: pages that come back together are told the same history. */
  #textOf(message: LiveMessage): Buffer {
    const text = this.#texts.get(message) ?? Buffer.from(JSON.stringify(message), 'utf8');
    this.#texts.set(message, text);
    return text;
  }

  closeAll(): void {
    for (const { socket } of this.#clients) socket.close(1001, 'the host is closing');
  }

  #start(client: Client, nowNs: SessionNs): void {
    const snapshot = this.#feed.snapshotText(nowNs);
    if (!snapshot) return;
    client.started = true;
    client.snapshotBytes = snapshot.length;
    client.socket.send(snapshot, PACKED);
  }

  #send(client: Client, texts: readonly { message: LiveMessage; text: Buffer }[], nowNs: SessionNs): void {
    const { socket } = client;
    if (socket.readyState !== socket.OPEN) return;
    if (socket.bufferedAmount > CLOSE_ABOVE_BYTES + client.snapshotBytes) {
      this.#tally.dropped += 1;
      this.#log.warn({ bufferedBytes: socket.bufferedAmount }, 'page too slow, closed');
      // The reason waits behind what is unsent; if it is not taken within the close time-out, the socket is cut.
      socket.close(CLOSE_CODE.tooSlow, 'too slow: connect again');
      return;
    }
    const thin = socket.bufferedAmount > THIN_ABOVE_BYTES;
    for (const { message, text } of texts) {
      if (message.type !== 'envelope') socket.send(text, AS_TEXT);
      else if (thin) this.#thin(client, nowNs);
      else socket.send(this.#filled(client, nowNs) ?? text, AS_TEXT);
    }
  }

  #thin(client: Client, nowNs: SessionNs): void {
    if (client.thinnedFromNs !== undefined) return;
    client.thinnedFromNs = nowNs;
    this.#tally.thinned += 1;
  }

  /** Once a thinned client is quick again its traces get what they lack. */
  #filled(client: Client, nowNs: SessionNs): string | undefined {
    if (client.thinnedFromNs === undefined) return undefined;
    // A second earlier: what was changed in that flush may have been measured before it.
    const message = this.#feed.envelopesSince(client.thinnedFromNs - 1e9, nowNs);
    client.thinnedFromNs = undefined;
    return JSON.stringify(message);
  }

  #pingAll(): void {
    for (const client of this.#clients) {
      if (!client.answered) {
        this.#tally.dropped += 1;
        client.socket.terminate();
      }
      client.answered = false;
      if (client.socket.readyState === client.socket.OPEN) client.socket.ping();
    }
  }
}
