/**
 * How long an alarm takes: from the moment that the sample which causes it was written to the port, whole, to the moment
 * that a page hears of it. Both are seen here, in the instruments' process, so one clock measures both.
 */
import { WebSocket } from 'ws';
import { decodeBoardLine, type LiveMessage } from '../../../protocol/index.ts';
import type { CountedChannel, Kind, Member } from './fleet.ts';

export interface AlarmTime {
  readonly kind: Kind;
  readonly ms: number;
}

interface Waiting {
  readonly kind: Kind;
  readonly writtenMs: number;
}

export class AlarmWatch {
  readonly times: AlarmTime[] = [];
  /** Of each channel: written, and not yet heard of, oldest first. On a busy machine more than one may be on its way. */
  readonly #waiting = new Map<string, Waiting[]>();
  #isOver = false;
  #socket: WebSocket | undefined;

  get unheard(): number {
    return [...this.#waiting.values()].reduce((sum, { length }) => sum + length, 0);
  }

  /** What passes its limit from now on is not waited for; what did so before is. */
  end(): void {
    this.#isOver = true;
  }

  /** @param url  of the host's pages. Resolves once a page would be shown something. */
  async connect(url: string): Promise<void> {
    const socket = new WebSocket(`${url.replace(/^http/, 'ws')}live`);
    this.#socket = socket;
    await new Promise<void>((resolve, reject) => {
      socket.once('message', () => resolve());
      socket.once('error', reject);
    });
    socket.on('message', (data: Buffer) => this.#hear(JSON.parse(data.toString('utf8')) as LiveMessage));
  }

  close(): void {
    this.#socket?.close();
  }

  /** @returns to be called with every byte that is written to the member's port, right after */
  of({ kind, channels }: Member): (bytes: Uint8Array) => void {
    const wasBeyond = new Set<string>();
    const show = (index: number, count: number): void => {
      const channel = channels[index];
      if (channel) this.#show(kind, channel, { count, wasBeyond });
    };
    return kind === 'firmata' ? reportsIn(show) : linesIn((line) => shownBy(kind, line, show));
  }

  #show(kind: Kind, { name, alarmAbove }: CountedChannel, { count, wasBeyond }: { count: number; wasBeyond: Set<string> }): void {
    if (count <= alarmAbove) wasBeyond.delete(name);
    else if (!wasBeyond.has(name)) {
      wasBeyond.add(name);
      if (this.#socket === undefined || this.#isOver) return;
      const waiting = this.#waiting.get(name) ?? [];
      waiting.push({ kind, writtenMs: performance.now() });
      this.#waiting.set(name, waiting);
    }
  }

  #hear(message: LiveMessage): void {
    if (message.type !== 'event' || message.event.type !== 'limit' || message.event.state !== 'active') return;
    const waiting = this.#waiting.get(message.event.channel)?.shift();
    if (waiting) this.times.push({ kind: waiting.kind, ms: performance.now() - waiting.writtenMs });
  }
}

type Show = (index: number, count: number) => void;

function shownBy(kind: Kind, line: string, show: Show): void {
  if (kind === 'text') show(0, Number(/^N=(\d+)$/.exec(line)?.[1] ?? 0));
  const decoded = kind === 'gate-board' ? decodeBoardLine(line) : undefined;
  if (decoded?.ok && decoded.value.kind === 'DATA') for (const count of decoded.value.counts) show(decoded.value.channel, count);
}

function linesIn(onLine: (line: string) => void): (bytes: Uint8Array) => void {
  let rest = '';
  return (bytes) => {
    const lines = (rest + Buffer.from(bytes).toString('latin1')).split(/\r?\n/);
    rest = lines.pop() ?? '';
    for (const line of lines) onLine(line);
  };
}

/** Analog reports, three bytes each; all else is passed over. */
function reportsIn(show: Show): (bytes: Uint8Array) => void {
  let report: number[] = [];
  return (bytes) => {
    for (const byte of bytes) {
      if (byte >= 0x80) report = (byte & 0xf0) === 0xe0 ? [byte] : [];
      else if (report.length > 0) report.push(byte);
      const [command = 0, low = 0, high = 0] = report;
      if (report.length < 3) continue;
      show(command & 0x0f, low | (high << 7));
      report = [];
    }
  };
}
