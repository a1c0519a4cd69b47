/** The drag curves over HTTP. Reads only. */
import type { FastifyInstance } from 'fastify';
import { MapBusyError } from '../map/map-desk.ts';
import { refuse } from '../refuse.ts';
import type { DragDesk } from './drag-desk.ts';

/** @param desk  without one, as in a replay, the answer is null: there are no curves */
export function addDragRoutes(app: FastifyInstance, desk: DragDesk | undefined): void {
  app.get('/api/drag', async (_request, reply) => {
    try {
      return reply.type('application/json; charset=utf-8').send(JSON.stringify((await desk?.report()) ?? null));
    } catch (error) {
      if (!(error instanceof MapBusyError)) throw error;
      reply.header('retry-after', '2');
      return refuse(reply, 503, 'drag-busy', 'too many questions wait already; ask again in a moment');
    }
  });
}
