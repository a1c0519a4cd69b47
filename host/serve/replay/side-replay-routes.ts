/** Recorded sessions replayed beside a live one. To begin one costs a process, and ends the one before: the crew's to do. */
import type { FastifyError, FastifyInstance } from 'fastify';
import { z } from 'zod';
import { type Allowance, Budget } from '../access/budget.ts';
import { refuse } from '../refuse.ts';
import type { SideReplayDesk } from './side-replay-desk.ts';

const ASKED = z.strictObject({ session: z.string().min(1).max(80) });

export function addSideReplayRoutes(app: FastifyInstance, desk: SideReplayDesk | undefined, allowance: Allowance): void {
  if (!desk) return;
  const budget = new Budget(allowance, () => performance.now());
  app.get('/api/replays', () => ({ running: desk.running ?? null }));
  app.post('/api/replays', {
    config: { access: 'write' },
    onRequest: async (_request, reply) => {
      if (budget.spend()) return;
      reply.header('retry-after', '1');
      return refuse(reply, 429, 'too-many', 'too many replays at once; wait a moment');
    },
    errorHandler: (error: FastifyError, _request, reply) => {
      const isTheirs = error.statusCode !== undefined && error.statusCode < 500;
      if (!isTheirs) reply.log.error({ err: error }, 'a replay could not be begun');
      void refuse(reply, error.statusCode ?? 500, isTheirs ? 'bad-json' : 'failed', isTheirs ? 'name one session' : 'the replay failed');
    },
    handler: async (request, reply) => {
      const asked = ASKED.safeParse(request.body);
      if (!asked.success) return refuse(reply, 400, 'bad-session', 'name one session, as {"session": "…"}');
      return await desk.start(asked.data.session);
    },
  });
}
