/** Pages that read quickly, slowly, not at all, or are gone without a word; each checks that no event is missing. */
import { EventEmitter } from 'node:events';
import type { WebSocket } from 'ws';
import type { LiveMessage } from '../../protocol/index.ts';

export interface PageSetup {
  /** 0: it reads nothing at all. */
  readonly bytesPerMs: number;
  /** What already waits unsent for it. */
  readonly backlogBytes: number;
}

export class SimulatedPage extends EventEmitter {
  readonly OPEN = 1;
  readyState = 1;
  bufferedAmount: number;
  bufferedBytesMax = 0;
  closedWith: number | undefined;
  snapshots = 0;
  seq: number | undefined;
  sessionId: string | undefined;
  envelopes = 0;
  /** Ids of the shots that it was told of as closed. */
  readonly closedShots = new Set<string>();
  /** What is wrong with what came, if anything. */
  readonly faults: string[] = [];
  readonly #bytesPerMs: number;

  constructor({ bytesPerMs, backlogBytes }: PageSetup) {
    super();
    this.#bytesPerMs = bytesPerMs;
    this.bufferedAmount = backlogBytes;
  }

  get asSocket(): WebSocket {
    return this as unknown as WebSocket;
  }

  send(data: string | Buffer): void {
    if (this.readyState !== this.OPEN) return;
    const text = data.toString();
    this.bufferedAmount += data.length;
    this.bufferedBytesMax = Math.max(this.bufferedBytesMax, this.bufferedAmount);
    if (text.startsWith('{"type":"envelope"')) this.envelopes += 1;
    else this.#take(JSON.parse(text) as LiveMessage);
  }

  read(ms: number): void {
    this.bufferedAmount = Math.max(0, this.bufferedAmount - this.#bytesPerMs * ms);
  }

  /** Its end of the connection breaks. */
  vanish(): void {
    if (this.readyState !== this.OPEN) return;
    this.readyState = 3;
    this.emit('error', new Error('read ECONNRESET'));
    this.emit('close');
  }

  close(code: number): void {
    this.closedWith = code;
    this.readyState = 2;
    this.emit('close');
  }

  terminate(): void {
    this.readyState = 3;
    this.emit('close');
  }

  ping(): void {
    this.emit('pong');
  }

  #take(message: LiveMessage): void {
    if (message.type === 'snapshot') {
      this.snapshots += 1;
      this.sessionId = message.sessionId;
      this.seq = message.seq;
      for (const shot of message.shots) this.closedShots.add(shot.id);
      return;
    }
    if (message.type !== 'event') return;
    if (this.seq !== undefined && message.seq !== this.seq + 1) this.faults.push(`event ${message.seq} came after ${this.seq}`);
    this.seq = message.seq;
    if (message.event.type === 'shot' && message.event.phase === 'closed') this.closedShots.add(message.event.shot.id);
  }
}
