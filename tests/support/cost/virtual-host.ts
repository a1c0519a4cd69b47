/**
 * All of a host behind its ports, in virtual time: records through `Session` into a real journal, a real store and the
 * pages' feed, with the feed's messages put into bytes ten times a second as for one page. What it costs is the host's
 * work alone, whatever the machine does besides.
 */
import { join } from 'node:path';
import { Session } from '../../../host/cli/live/session.ts';
import { JournalWriter } from '../../../host/journal/index.ts';
import { LiveFeed } from '../../../host/serve/index.ts';
import { Store } from '../../../host/store/index.ts';
import type { HostMessage, PipelineEvent, PosternRecord, SessionNs } from '../../../protocol/index.ts';
import { ORIGIN_UTC_MS } from '../virtual-range.ts';

/** As much as a second of a rig of ten instruments; a real host's writing keeps up with real time. */
const SAMPLES_WAITING_MAX = 100_000;
const ROWS_WAITING_MAX = 500;

export interface VirtualHostPorts {
  readonly send?: (source: string, message: HostMessage) => void;
  readonly onEvents?: (events: readonly PipelineEvent[]) => void;
}

export class VirtualHost {
  readonly journal: string;
  readonly #session: Session;
  readonly #writer: JournalWriter;
  readonly #store: Store;
  readonly #feed = new LiveFeed({ mode: 'live' });
  #sentBytes = 0;

  static async open(folder: string, ports: VirtualHostPorts = {}): Promise<VirtualHost> {
    return new VirtualHost(folder, await Store.open(join(folder, 'store.duckdb')), ports);
  }

  private constructor(folder: string, store: Store, { send = () => undefined, onEvents = () => undefined }: VirtualHostPorts) {
    this.#store = store;
    this.journal = join(folder, 'virtual.mcap');
    const head = { sessionId: 'virtual', originUtcNs: BigInt(ORIGIN_UTC_MS) * 1_000_000n, softwareVersion: 'test' };
    this.#writer = JournalWriter.create(this.journal, head);
    this.#session = new Session({
      journal: { append: (record) => this.#writer.append(record), sync: () => AT_ONCE },
      send,
      onEvents: (events) => {
        for (const event of events) this.#feed.accept(event);
        store.apply('virtual', events);
        onEvents(events);
      },
    });
  }

  /** Bytes that one page would have been sent. */
  get sentBytes(): number {
    return this.#sentBytes;
  }

  take(record: PosternRecord): void {
    this.#session.take(record);
  }

  /** The next tenth of a second: pages are told, and the store is let write. */
  async pause(nowNs: SessionNs): Promise<void> {
    for (const message of this.#feed.flush(nowNs)) this.#sentBytes += Buffer.from(JSON.stringify(message), 'utf8').length;
    if (this.#store.samplesWaiting > SAMPLES_WAITING_MAX || this.#store.rowsWaiting > ROWS_WAITING_MAX) await this.#store.written();
  }

  async close(): Promise<void> {
    this.#session.finish();
    await this.#writer.close();
    await this.#store.flush();
    const { dropped } = this.#store;
    await this.#store.close();
    if (dropped.samples > 0) throw new Error(`${dropped.samples} samples were dropped by the store`);
  }
}

/** Virtual time does not wait for a disk: what a sync is waited for goes on in the same instant. */
// biome-ignore lint/suspicious/noThenProperty: it has to be waited for as a promise is
const AT_ONCE = { then: (done: () => void) => done() } as unknown as Promise<void>;
