/** How the host does, gathered from its parts for `/healthz` and `/metrics`. */
import type { HostHealth, HostVitals, MetricFamily } from '../../serve/index.ts';
import type { Store } from '../../store/index.ts';
import { judge } from './health.ts';
import { hostMetrics } from './host-metrics.ts';
import { seriesMetrics } from './series-metrics.ts';
import { sessionMetrics } from './session-metrics.ts';
import type { VitalParts } from './vital-parts.ts';

/** Made before the server, and opened when there is a session behind it. */
export class SessionVitals implements HostVitals {
  #parts: VitalParts | undefined;

  open(parts: VitalParts): void {
    this.#parts = parts;
  }

  health(): HostHealth {
    const parts = this.#parts;
    if (!parts) return BEGINNING;
    const { journal, store, tally, loop, sessionId } = parts;
    const { message, recordsLost } = journal.problem;
    const { sinceSyncS, unsyncedBytes } = journal;
    const links = [...tally.links];
    return judge({
      sessionId,
      uptimeS: process.uptime(),
      journal: { writing: message === '', sinceSyncS, unsyncedBytes, recordsLost },
      journalProblem: message,
      linksUp: links.filter(([, { state }]) => state === 'running').map(([name]) => name),
      linksDown: links.filter(([, { state }]) => state !== 'running').map(([name]) => name),
      store: { rowsWaiting: store.rowsWaiting, rowsDropped: rowsDropped(store) },
      eventLoopDelayS: loop.delayS,
    });
  }

  metrics(): readonly MetricFamily[] {
    const parts = this.#parts;
    if (!parts) return [];
    return [
      ...sessionMetrics(parts.tally),
      ...hostMetrics({ ...parts, rowsDropped: rowsDropped(parts.store) }),
      ...seriesMetrics(parts.series?.state()),
    ];
  }
}

function rowsDropped({ dropped }: Pick<Store, 'dropped'>): number {
  return Object.values(dropped).reduce((sum, rows) => sum + rows, 0);
}

const BEGINNING: HostHealth = {
  status: 'failing',
  reasons: ['The session is just beginning.'],
  sessionId: '',
  uptimeS: 0,
  journal: { writing: false, sinceSyncS: 0, unsyncedBytes: 0, recordsLost: 0 },
  linksUp: [],
  linksDown: [],
  store: { rowsWaiting: 0, rowsDropped: 0 },
  eventLoopDelayS: { mean: 0, p99: 0, max: 0 },
};
