/** The maps of a data folder, for its pages: made anew, aside, when somebody asks after the shots have changed. */
import type { MapExpectation, MapFill, MapReport, MapSession, MapSource } from '../../../protocol/index.ts';
import type { MapAsked, MapDesk } from '../../serve/index.ts';
import type { MapSources } from './map-sources.ts';
import { MapThread } from './map-thread.ts';

/** As many as a map is made of. */
const SHOTS_MAX = 600;
/** The store is not asked more often, s. */
const FRESH_MS = 500;

/** What is asked of a store. */
export interface MapStore {
  mapShots(query: { readonly limit: number }): Promise<readonly MapSource[]>;
  sessions(): Promise<readonly MapSession[]>;
}

export class SessionMapDesk implements MapDesk {
  readonly #store: MapStore;
  readonly #thread = new MapThread();
  readonly #nowMs: () => number;
  #sources: { readonly atMs: number; readonly found: Promise<MapSources> } | undefined;
  #made: { readonly of: string; readonly report: Promise<unknown> } | undefined;

  constructor(store: MapStore, nowMs: () => number = () => performance.now()) {
    this.#store = store;
    this.#nowMs = nowMs;
  }

  sources(): Promise<MapSources> {
    const atMs = this.#nowMs();
    if (this.#sources && atMs - this.#sources.atMs < FRESH_MS) return this.#sources.found;
    const found = this.#read();
    this.#sources = { atMs, found };
    // What failed is asked for anew.
    found.catch(() => {
      this.#sources = undefined;
    });
    return found;
  }

  async report(): Promise<MapReport> {
    const sources = await this.sources();
    const of = fingerprint(sources);
    if (this.#made?.of !== of || !this.#thread.isRunning) {
      const report = this.#thread.ask({ do: 'make', ...sources });
      this.#made = { of, report };
      report.catch(() => {
        this.#made = undefined;
      });
    }
    return (await this.#made.report) as MapReport;
  }

  async expected(asked: MapAsked & { readonly reservoirPressurePa: number }): Promise<MapExpectation> {
    await this.report();
    return (await this.#thread.ask({ do: 'expected', asked })) as MapExpectation;
  }

  async fillFor(asked: MapAsked & { readonly velocityMps: number }): Promise<MapFill> {
    await this.report();
    return (await this.#thread.ask({ do: 'fill', asked })) as MapFill;
  }

  close(): Promise<void> {
    return this.#thread.close();
  }

  async #read(): Promise<MapSources> {
    const [shots, sessions] = await Promise.all([this.#store.mapShots({ limit: SHOTS_MAX }), this.#store.sessions()]);
    const known = new Set(shots.map(({ sessionId }) => sessionId));
    return { shots, sessions: sessions.filter(({ id }) => known.has(id)).map(({ id, rig }) => ({ id, rig })) };
  }
}

/** Changes with everything that the map is made of. */
const fingerprint = ({ shots }: MapSources): string =>
  JSON.stringify(
    shots.map(({ id, muzzleVelocityMps, reservoirPressurePa, exclusion }) => [
      id,
      muzzleVelocityMps?.value,
      reservoirPressurePa?.value,
      exclusion,
    ]),
  );
