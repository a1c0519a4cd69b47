/**
 * One page's connection to `/live`, as much of it as the load bench counts. What it is sent is looked at without reading
 * all of it: two hundred pages in one process would cost more than the host that is measured.
 */
import { WebSocket } from 'ws';

/** healthy: reads all that comes. slow: on a line for a third of what it is sent. vanishing: is gone without a word, and comes again. */
export type ViewerKind = 'healthy' | 'slow' | 'vanishing';

export interface ViewerCount {
  readonly kind: ViewerKind;
  /** Numbers of the shots that it was shown as closed. */
  readonly closed: readonly number[];
  /** Events that are missing between those that it was sent. */
  readonly missed: number;
  readonly snapshots: number;
  readonly connections: number;
  readonly bytes: number;
  /** Of the machine's monotonic clock, ns, by the shot's number: when it was first heard of, and first with a velocity. */
  readonly openedNs: Readonly<Record<number, number>>;
  readonly measuredNs: Readonly<Record<number, number>>;
}

const EVENT = /^\{"type":"event","nowNs":[\d.]+,"seq":(\d+),"event":\{"type":"([a-z-]+)"/;
const SHOT = /"phase":"([a-z]+)"/;
const NUMBER = /"number":(\d+)/;
const HEAD_CHARACTERS = 600;
const RECONNECT_MS = 200;
const SLOW_BYTES_PER_S = 40_000;

export class Viewer {
  readonly #url: string;
  readonly #kind: ViewerKind;
  readonly #draw: () => number;
  readonly #closed = new Set<number>();
  readonly #openedNs: Record<number, number> = {};
  readonly #measuredNs: Record<number, number> = {};
  #socket: WebSocket | undefined;
  #newestSeq: number | undefined;
  #missed = 0;
  #snapshots = 0;
  #connections = 0;
  #bytes = 0;
  #isOver = false;

  /** @param draw  a number from 0 to 1 */
  constructor(url: string, kind: ViewerKind, draw: () => number) {
    this.#url = url;
    this.#kind = kind;
    this.#draw = draw;
  }

  /** Resolves with the first message. */
  connect(): Promise<void> {
    this.#connections += 1;
    const socket = new WebSocket(`${this.#url.replace(/^http/, 'ws')}live`, { perMessageDeflate: false });
    this.#socket = socket;
    socket.on('error', () => undefined);
    socket.on('close', () => {
      if (!this.#isOver && this.#socket === socket) setTimeout(() => void this.connect(), RECONNECT_MS);
    });
    socket.on('message', (data: Buffer) => this.#hear(data));
    if (this.#kind === 'slow') dawdle(socket);
    if (this.#kind === 'vanishing') setTimeout(() => socket.terminate(), 2_000 + 8_000 * this.#draw());
    return new Promise((resolve) => socket.once('message', () => resolve()));
  }

  close(): void {
    this.#isOver = true;
    this.#socket?.terminate();
  }

  get count(): ViewerCount {
    return {
      kind: this.#kind,
      closed: [...this.#closed],
      missed: this.#missed,
      snapshots: this.#snapshots,
      connections: this.#connections,
      bytes: this.#bytes,
      openedNs: this.#openedNs,
      measuredNs: this.#measuredNs,
    };
  }

  #hear(data: Buffer): void {
    this.#bytes += data.length;
    const head = data.toString('latin1', 0, Math.min(data.length, HEAD_CHARACTERS));
    const [, seq, type] = EVENT.exec(head) ?? [];
    if (seq === undefined) {
      if (!head.startsWith('{"type":"snapshot"')) return;
      this.#snapshots += 1;
      this.#newestSeq = Number(/"seq":(\d+)/.exec(head)?.[1]);
      return;
    }
    // A new connection begins with a snapshot, and so with a number of its own.
    if (this.#newestSeq !== undefined && Number(seq) > this.#newestSeq + 1) this.#missed += Number(seq) - this.#newestSeq - 1;
    this.#newestSeq = Number(seq);
    if (type !== 'shot') return;
    const nowNs = Number(process.hrtime.bigint());
    const text = data.toString('utf8');
    const number = Number(NUMBER.exec(text)?.[1]);
    const phase = SHOT.exec(text)?.[1];
    this.#openedNs[number] ??= nowNs;
    if (phase !== 'opened') this.#measuredNs[number] ??= nowNs;
    if (phase === 'closed') this.#closed.add(number);
  }
}

/** Not read again before its line would have carried what has come. */
function dawdle(socket: WebSocket): void {
  let untilMs = 0;
  let timer: NodeJS.Timeout | undefined;
  socket.on('message', (data: Buffer) => {
    const nowMs = performance.now();
    untilMs = Math.max(untilMs, nowMs) + (1000 * data.length) / SLOW_BYTES_PER_S;
    socket.pause();
    clearTimeout(timer);
    timer = setTimeout(() => socket.resume(), untilMs - nowMs);
  });
}
