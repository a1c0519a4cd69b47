/** Is what arrives being kept, and if not quite, why? The limits are in docs/unattended.md too. */
import type { HealthStatus, HostHealth } from '../../serve/index.ts';

/** A sync is due every quarter of a second. */
export const SINCE_SYNC_S_MAX = 5;
/** The system's own buffers hold a serial line's bytes for longer than that, but not for much longer. */
export const LOOP_DELAY_S_MAX = 0.5;

export function judge(facts: Omit<HostHealth, 'status' | 'reasons'> & { readonly journalProblem: string }): HostHealth {
  const { journalProblem, ...shown } = facts;
  const { journal, linksDown, store, eventLoopDelayS } = shown;
  const failing = [
    ...(journal.writing ? [] : [`The journal cannot be written: ${journalProblem}.`]),
    ...(journal.recordsLost > 0 ? [`${journal.recordsLost} records are lost to the journal.`] : []),
    ...(journal.sinceSyncS > SINCE_SYNC_S_MAX ? [`The journal was last put on the disk ${journal.sinceSyncS.toFixed(1)} s ago.`] : []),
    ...(eventLoopDelayS.p99 > LOOP_DELAY_S_MAX ? [`The host is ${eventLoopDelayS.p99.toFixed(2)} s late in all that it does.`] : []),
  ];
  const degraded = [
    ...(linksDown.length > 0 ? [`Links are down: ${linksDown.join(', ')}.`] : []),
    ...(store.rowsDropped > 0 ? [`The store could not take ${store.rowsDropped} rows; "postern rebuild" brings them back.`] : []),
  ];
  return { status: statusOf(failing, degraded), reasons: [...failing, ...degraded], ...shown };
}

function statusOf(failing: readonly string[], degraded: readonly string[]): HealthStatus {
  if (failing.length > 0) return 'failing';
  return degraded.length > 0 ? 'degraded' : 'ok';
}
