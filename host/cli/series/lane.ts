/** One session on its way to the server: its journal, its delivery, and how far it has come. */
import { setImmediate as breathe, setTimeout as sleep } from 'node:timers/promises';
import {
  Delivery,
  type DeliveryCounts,
  type DeliveryPorts,
  dialectOf,
  type PickySender,
  RETURN_EVERY_MS,
  type SeriesServer,
} from '../../series/index.ts';
import { FIRST_PLACE, JournalSource, type SourcePlace } from './journal-source.ts';
import type { SessionPosition } from './position-file.ts';

export interface LaneOptions {
  readonly path: string;
  readonly server: SeriesServer;
  readonly sender: PickySender;
  readonly isOver: () => boolean;
  readonly from: SessionPosition;
  readonly ports?: DeliveryPorts;
}

export const DELIVERY_PORTS: DeliveryPorts = {
  returnEveryMs: RETURN_EVERY_MS,
  nowMs: () => performance.now(),
  wait: async (ms, signal) => {
    await sleep(ms, undefined, { signal }).catch(() => undefined);
  },
  breathe: async () => {
    await breathe();
  },
};

export class Lane {
  readonly #source: JournalSource;
  readonly #delivery: Delivery<SourcePlace>;
  readonly #from: SessionPosition;

  constructor({ path, server, sender, isOver, from, ports = DELIVERY_PORTS }: LaneOptions) {
    this.#from = from;
    const dialect = dialectOf(server);
    this.#source = new JournalSource({
      path,
      dialect,
      tags: server.tags,
      sendFrom: from.settled,
      isOver,
      nowMs: ports.nowMs,
    });
    this.#delivery = new Delivery(this.#source, sender, FIRST_PLACE, ports);
  }

  get counts(): DeliveryCounts {
    return this.#delivery.counts;
  }

  /** Samples left out so far, of what the server has. */
  get thinned(): number {
    return this.#delivery.takenTo.lines?.thinned ?? 0;
  }

  get position(): SessionPosition {
    const { takenTo, settledTo } = this.#delivery;
    // Until what was sent before has been read past, that stands.
    const settled = Math.max(this.#from.settled, settledTo.sequence);
    return { taken: Math.max(settled, takenTo.sequence), settled, ended: this.#from.ended || settledTo.isEnded };
  }

  /** Of the newest record that the server has; undefined before the first. */
  get takenUtcMs(): number | undefined {
    const { lines, newestNs } = this.#delivery.takenTo;
    return lines?.utcMs(newestNs);
  }

  /** Something of it must be sent again. */
  get isOwing(): boolean {
    return this.#delivery.isOwing;
  }

  connectionLost(): void {
    this.#delivery.connectionLost();
  }

  /** Resolves when the session is over and all of it was taken (true), or when the signal says stop (false). */
  run(signal: AbortSignal): Promise<boolean> {
    return this.#delivery.run(signal);
  }
}
