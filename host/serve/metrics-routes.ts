/** `/metrics`, for a server that collects numbers over time. */
import type { FastifyInstance } from 'fastify';
import type { LiveClients } from './live-clients.ts';
import type { HostVitals } from './vitals/host-vitals.ts';
import { OPEN_METRICS_TYPE, openMetricsText } from './vitals/open-metrics.ts';
import { viewerMetrics } from './vitals/viewer-metrics.ts';

export interface MetricsParts {
  readonly clients: LiveClients;
  /** Left out in a replay: then there are the viewers only. */
  readonly vitals: HostVitals | undefined;
}

export function addMetricsRoutes(app: FastifyInstance, { clients, vitals }: MetricsParts): void {
  app.get('/metrics', (_request, reply) =>
    reply
      .header('content-type', OPEN_METRICS_TYPE)
      .header('cache-control', 'no-store')
      .send(openMetricsText([...(vitals?.metrics() ?? []), ...viewerMetrics(clients)])),
  );
}
