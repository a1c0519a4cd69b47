/**
 * The store's tables in memory, written through the real queue of what waits: some batches fail and are put back. What
 * the database itself does with a batch is not simulated.
 */
import type { Random } from '../../firmware-sim/world/random.ts';
import { enqueue } from '../../host/store/enqueue.ts';
import { mergeSeconds, type SecondRow, type ShotRow } from '../../host/store/rows.ts';
import { type Batch, createWriteQueue } from '../../host/store/write-queue.ts';
import type { PipelineEvent } from '../../protocol/index.ts';

const ROWS_MAX = 10_000;
const NOTHING: ReadonlySet<string> = new Set();

export class SimulatedStore {
  readonly #random: Random | undefined;
  readonly #failing: number;
  readonly #queue = createWriteQueue(ROWS_MAX);
  readonly #tables = { sessions: new Map<string, unknown>(), shots: new Map<string, ShotRow>(), seconds: new Map<string, SecondRow>() };
  readonly #exclusions = new Map<string, unknown>();
  readonly #notes: unknown[] = [];
  readonly #links: unknown[] = [];

  /** @param failing  share of batches that cannot be written at once */
  constructor(random?: Random, failing = 0) {
    this.#random = random;
    this.#failing = failing;
  }

  apply(sessionId: string, events: readonly PipelineEvent[]): void {
    enqueue(this.#queue, sessionId, events);
  }

  write(): void {
    const batch = this.#queue.take(false);
    if (batch === undefined) return;
    if (this.#random !== undefined && this.#random.uniform() < this.#failing) this.#queue.putBack(batch, NOTHING);
    else this.#keep(batch);
  }

  flush(): void {
    for (let batch = this.#queue.take(true); batch !== undefined; batch = this.#queue.take(true)) this.#keep(batch);
  }

  /** The process is gone, and what waited with it. */
  forgetWaiting(sessionId: string): void {
    this.#queue.removeSession(sessionId);
  }

  shotIds(sessionId: string): readonly string[] {
    return [...this.#tables.shots.values()].filter(({ session }) => session === sessionId).map(({ id }) => id);
  }

  /** All that is stored of a session, in an order of its own. */
  rowsOf(session: string): readonly string[] {
    const { sessions, shots, seconds } = this.#tables;
    return [...sessions.values(), ...shots.values(), ...seconds.values(), ...this.#exclusions.values(), ...this.#notes, ...this.#links]
      .filter((row) => (row as { readonly session: string }).session === session)
      .map((row) => JSON.stringify(row, (_, value: unknown) => (typeof value === 'bigint' ? `${value}` : value)))
      .sort();
  }

  #keep({ sessions, shots, exclusions, seconds, notes, links }: Batch): void {
    for (const row of sessions) this.#tables.sessions.set(row.session, row);
    for (const row of shots) this.#tables.shots.set(row.id, row);
    for (const row of exclusions) this.#exclusions.set(row.shot, row);
    this.#notes.push(...notes);
    this.#links.push(...links);
    for (const row of seconds) {
      const key = JSON.stringify([row.session, row.channel, row.second]);
      const known = this.#tables.seconds.get(key);
      this.#tables.seconds.set(key, known ? mergeSeconds(known, row) : row);
    }
  }
}
