/** The drag curves over HTTP. Reads only. */
import type { FastifyInstance } from 'fastify';
import { MapBusyError } from '../map/map-desk.ts';
import { refuse } from '../refuse.ts';
import type { DragDesk } from './drag-desk.ts';

export function addDragRoutes(app: FastifyInstance, desk: DragDesk): void {
  app.get('/api/drag', async (_request, reply) => {
    try {
      return await desk.report();
    } catch (error) {
      if (!(error instanceof MapBusyError)) throw error;
      reply.header('retry-after', '2');
      return refuse(reply, 503, 'drag-busy', 'too many questions wait already; ask again in a moment');
    }
  });
}
