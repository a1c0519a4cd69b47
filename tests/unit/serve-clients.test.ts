import { EventEmitter } from 'node:events';
import { pino } from 'pino';
import { describe, expect, it, vi } from 'vitest';
import type { WebSocket } from 'ws';
import { LiveFeed } from '../../host/serve/index.ts';
import { CLOSE_ABOVE_BYTES, CLOSE_CODE, LiveClients, THIN_ABOVE_BYTES } from '../../host/serve/live-clients.ts';
import type { LiveMessage } from '../../protocol/index.ts';
import { eventsBetween, openingEvents } from '../support/fake-feed.ts';

/** A socket whose other end reads only when we say so. */
class SlowSocket extends EventEmitter {
  readonly OPEN = 1;
  readyState = 1;
  bufferedAmount = 0;
  readonly sent: LiveMessage[] = [];
  closedWith: number | undefined;
  send(text: string | Buffer): void {
    this.sent.push(JSON.parse(String(text)) as LiveMessage);
  }
  close(code: number): void {
    this.closedWith = code;
    this.readyState = 2;
  }
}

function setUp() {
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of openingEvents()) feed.accept(event);
  feed.flush(0);
  const clients = new LiveClients(feed, pino({ level: 'silent' }));
  const socket = new SlowSocket();
  clients.add(socket as unknown as WebSocket, undefined, 0);
  let doneNs = 0;
  const advance = (toNs: number) => {
    for (const event of eventsBetween(doneNs, toNs)) feed.accept(event);
    doneNs = toNs;
    clients.flush(toNs);
  };
  return { feed, clients, socket, advance, types: () => socket.sent.splice(0).map((message) => message.type) };
}

describe('a page that cannot keep up', () => {
  it('is spared the envelopes, still told of events, and given what it lacks afterwards', () => {
    const { socket, advance, types } = setUp();
    advance(0.5e9);
    expect(types()).toContain('envelope');
    socket.bufferedAmount = THIN_ABOVE_BYTES + 1;
    advance(1.5e9);
    advance(2.5e9);
    const thinned = types();
    expect(thinned).toContain('event');
    expect(thinned).not.toContain('envelope');
    socket.bufferedAmount = 0;
    advance(3e9);
    const filled = socket.sent.find((message) => message.type === 'envelope');
    const reservoir = filled?.type === 'envelope' ? filled.envelopes.find(({ channel }) => channel === 'reservoirPressure') : undefined;
    // All that came while it was thinned: from 0.5 s on.
    expect(reservoir?.fromNs).toBeLessThanOrEqual(0.5e9);
    expect((reservoir?.fromNs ?? 0) + (reservoir?.min.length ?? 0) * (reservoir?.binNs ?? 0)).toBe(3e9);
  });

  it('is let go above the bound and sent nothing more', () => {
    const { socket, advance } = setUp();
    socket.sent.splice(0);
    // Over and above the snapshot that it began with.
    socket.bufferedAmount = CLOSE_ABOVE_BYTES + 1;
    advance(0.5e9);
    expect(socket.closedWith).toBeUndefined();
    socket.sent.splice(0);
    socket.bufferedAmount = CLOSE_ABOVE_BYTES + 1e6;
    advance(1e9);
    advance(2e9);
    expect(socket.closedWith).toBe(CLOSE_CODE.tooSlow);
    expect(socket.sent).toEqual([]);
  });
});

describe('pages that come at once', () => {
  it('cost one snapshot between two flushes, and no event is missing behind it', () => {
    const { feed, clients, advance } = setUp();
    const made = vi.spyOn(feed, 'snapshot');
    const join = (nowNs: number): SlowSocket => {
      const socket = new SlowSocket();
      clients.add(socket as unknown as WebSocket, undefined, nowNs);
      return socket;
    };
    // What setUp's own page was sent is from the same moment.
    const early = Array.from({ length: 50 }, (_, i) => join(i));
    expect(made).toHaveBeenCalledTimes(0);
    advance(1e9);
    const late = Array.from({ length: 50 }, () => join(1e9));
    expect(made).toHaveBeenCalledTimes(1);
    advance(2e9);
    // Between two flushes nothing is made again because something has happened.
    for (const event of eventsBetween(2e9, 3e9)) {
      feed.accept(event);
      join(2.5e9);
    }
    expect(made).toHaveBeenCalledTimes(2);
    for (const { sent } of [...early, ...late]) {
      const [snapshot, ...events] = sent.flatMap((message) => (message.type === 'snapshot' || message.type === 'event' ? [message] : []));
      expect(snapshot?.type).toBe('snapshot');
      expect(events.map(({ seq }) => seq)).toEqual(events.map((_, i) => (snapshot?.seq ?? 0) + 1 + i));
    }
    expect(late.every(({ sent }) => sent.some(({ type }) => type === 'event'))).toBe(true);
  });

  it('beyond as many as are allowed are turned away, and counted', () => {
    const feed = new LiveFeed({ mode: 'live' });
    const clients = new LiveClients(feed, pino({ level: 'silent' }), 2);
    const sockets = Array.from({ length: 3 }, () => new SlowSocket());
    for (const socket of sockets) clients.add(socket as unknown as WebSocket, undefined, 0);
    expect(sockets.map(({ closedWith }) => closedWith)).toEqual([undefined, undefined, CLOSE_CODE.tooMany]);
    expect(clients.tally.refused).toBe(1);
  });
});
