/** The drag curves of a data folder, for its pages: made anew, aside, when somebody asks after the shots have changed. */
import type { DragReport, DragShot } from '../../../protocol/index.ts';
import type { DragDesk } from '../../serve/index.ts';
import { MapThread } from '../map/map-thread.ts';

const SHOTS_MAX = 1000;
/** The store is not asked more often. */
const FRESH_MS = 500;

/** What is asked of a store. */
export interface DragStore {
  dragShots(query: { readonly limit: number }): Promise<readonly DragShot[]>;
}

export class SessionDragDesk implements DragDesk {
  readonly #store: DragStore;
  readonly #thread = new MapThread();
  readonly #nowMs: () => number;
  #made: { readonly atMs: number; readonly of: string; readonly report: Promise<DragReport> } | undefined;

  constructor(store: DragStore, nowMs: () => number = () => performance.now()) {
    this.#store = store;
    this.#nowMs = nowMs;
  }

  async report(): Promise<DragReport> {
    if (this.#made && this.#nowMs() - this.#made.atMs < FRESH_MS) return this.#made.report;
    const shots = await this.#store.dragShots({ limit: SHOTS_MAX });
    const of = fingerprint(shots);
    const known = this.#made?.of === of && this.#thread.isRunning ? this.#made.report : undefined;
    const report = known ?? (this.#thread.ask({ do: 'drag', shots }) as Promise<DragReport>);
    this.#made = { atMs: this.#nowMs(), of, report };
    // What failed is asked for anew.
    report.catch(() => {
      if (this.#made?.report === report) this.#made = undefined;
    });
    return report;
  }

  close(): Promise<void> {
    return this.#thread.close();
  }
}

/** Changes with everything that the curves are made of. */
const fingerprint = (shots: readonly DragShot[]): string =>
  JSON.stringify(
    shots.map(({ id, dragCoefficient, dragMach, flags, exclusion }) => [id, dragCoefficient?.value, dragMach?.value, flags, exclusion]),
  );
