/** What the server asks of the host that it serves for. */
import type { MetricFamily } from './open-metrics.ts';

/**
 * ok: all is as it should be. degraded: something is to be looked at, and what arrives is kept. failing: what arrives
 * may not be kept.
 */
export type HealthStatus = 'ok' | 'degraded' | 'failing';

export interface HostHealth {
  readonly status: HealthStatus;
  /** Plain sentences, one a reason why it is not ok. */
  readonly reasons: readonly string[];
  readonly sessionId: string;
  readonly uptimeS: number;
  readonly journal: {
    /** The disk takes what is appended. */
    readonly writing: boolean;
    readonly sinceSyncS: number;
    readonly unsyncedBytes: number;
    readonly recordsLost: number;
  };
  /** By the names of the rig file. */
  readonly linksUp: readonly string[];
  readonly linksDown: readonly string[];
  readonly store: { readonly rowsWaiting: number; readonly rowsDropped: number };
  /** How late the program's own timers are, over the last ten seconds, s. */
  readonly eventLoopDelayS: { readonly mean: number; readonly p99: number; readonly max: number };
}

export interface HostVitals {
  health(): HostHealth;
  metrics(): readonly MetricFamily[];
}
