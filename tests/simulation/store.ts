/**
 * The store's tables in memory, written through the real queue of what waits: some batches fail and are put back. What
 * the database itself does with a batch is not simulated.
 */
import type { Random } from '../../firmware-sim/world/random.ts';
import { Intake } from '../../host/store/enqueue.ts';
import type { ShotRow } from '../../host/store/rows.ts';
import type { SampleWindow } from '../../host/store/samples/sample-window.ts';
import { type Batch, createWriteQueue } from '../../host/store/write-queue.ts';
import type { PipelineEvent } from '../../protocol/index.ts';

const BOUNDS = { rowsMax: 10_000, samplesMax: 2_000_000 };
const NOTHING: ReadonlySet<string> = new Set();

export class SimulatedStore {
  readonly #random: Random | undefined;
  readonly #failing: number;
  readonly #queue = createWriteQueue(BOUNDS);
  readonly #intake = new Intake(this.#queue);
  readonly #tables = { sessions: new Map<string, unknown>(), shots: new Map<string, ShotRow>() };
  readonly #exclusions = new Map<string, unknown>();
  readonly #events: unknown[] = [];
  readonly #windows: SampleWindow[] = [];

  /** @param failing  share of batches that cannot be written at once */
  constructor(random?: Random, failing = 0) {
    this.#random = random;
    this.#failing = failing;
  }

  apply(sessionId: string, events: readonly PipelineEvent[]): void {
    this.#intake.take(sessionId, events);
  }

  write(): void {
    const batch = this.#queue.take();
    if (batch === undefined) return;
    if (this.#random !== undefined && this.#random.uniform() < this.#failing) this.#queue.putBack(batch, NOTHING);
    else this.#keep(batch);
  }

  flush(): void {
    this.#intake.flush();
    for (let batch = this.#queue.take(); batch !== undefined; batch = this.#queue.take()) this.#keep(batch);
  }

  /** The process is gone, and what waited with it. */
  forgetWaiting(sessionId: string): void {
    this.#intake.forget(sessionId);
    this.#queue.removeSession(sessionId);
  }

  shotIds(sessionId: string): readonly string[] {
    return [...this.#tables.shots.values()].filter(({ session }) => session === sessionId).map(({ id }) => id);
  }

  /** All that is stored of a session, in an order of its own. */
  rowsOf(session: string): readonly string[] {
    const { sessions, shots } = this.#tables;
    const several = [...this.#events, ...this.#windows];
    return [...sessions.values(), ...shots.values(), ...this.#exclusions.values(), ...several]
      .filter((row) => (row as { readonly session: string }).session === session)
      .map((row) => JSON.stringify(row, plain))
      .sort();
  }

  #keep({ sessions, shots, exclusions, events, windows }: Batch): void {
    for (const row of sessions) this.#tables.sessions.set(row.session, row);
    for (const row of shots) this.#tables.shots.set(row.id, row);
    for (const row of exclusions) this.#exclusions.set(row.shot, row);
    this.#events.push(...events);
    this.#windows.push(...windows);
  }
}

function plain(_: string, value: unknown): unknown {
  if (typeof value === 'bigint') return `${value}`;
  return value instanceof Int32Array ? [...value] : value;
}
