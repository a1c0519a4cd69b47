/**
 * VictoriaMetrics takes the end of a connection by a reset for the end of the request: the last line that it had until
 * then is taken for a whole one, and without a stamp it gets the present. (Tried with 1.79.5, plain and gzip; a request
 * that ends early without a reset is dropped from its torn line on.) No sender can help that or undo it, but can tell.
 */
import type { SeriesServer } from './server.ts';

/** A batch under way met a reset, and not just an end. */
export const wasReset = (error: unknown): boolean => {
  const { code, syscall } = error as NodeJS.ErrnoException;
  return code === 'ECONNRESET' && syscall !== undefined;
};

/** @returns whole sentences; none for a server that drops a request that it has not had whole */
export function tornWarnings({ kind }: Pick<SeriesServer, 'kind'>, atUtcMs: number): readonly string[] {
  if (kind !== 'victoria-metrics') return [];
  const at = new Date(atUtcMs).toISOString().slice(0, 19).replace('T', ' ');
  return [
    `The connection was reset while points were under way (${at} UTC): VictoriaMetrics may hold one torn point with about that stamp, which nobody measured.`,
  ];
}
