/** `/healthz`, for a supervisor that asks: 200 while what arrives is kept, 503 where it may not be. */
import type { FastifyInstance } from 'fastify';
import type { HostVitals } from './vitals/host-vitals.ts';

/** @param vitals  left out in a replay, which keeps nothing */
export function addHealthRoutes(app: FastifyInstance, vitals: HostVitals | undefined): void {
  app.get('/healthz', (_request, reply) => {
    const health = vitals?.health() ?? { status: 'ok', reasons: [] };
    return reply
      .code(health.status === 'failing' ? 503 : 200)
      .header('cache-control', 'no-store')
      .send(health);
  });
}
