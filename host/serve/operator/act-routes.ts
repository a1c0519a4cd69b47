/** The one place where something of a session is changed over HTTP, and what helps to change it right. */
import type { FastifyError, FastifyInstance, FastifyReply } from 'fastify';
import { type Allowance, Budget } from '../access/budget.ts';
import { SERVE_LIMITS } from '../access/limits.ts';
import { refuse } from '../refuse.ts';
import { readAct } from './act-schema.ts';
import { addChannelRoutes } from './channel-routes.ts';
import type { CrewDesk } from './desk.ts';

/** The longest track, each number with all digits that a double has, and room around it. */
export const ACT_BYTES_MAX = 48 * 1024;

export interface ActParts {
  /** Left out in a replay, which is written by nobody. */
  readonly desk: CrewDesk | undefined;
  readonly acts?: Allowance;
  /** Of a clock that only goes forward. */
  readonly nowMs?: () => number;
}

export function addActRoutes(app: FastifyInstance, { desk, acts = SERVE_LIMITS.acts, nowMs = () => performance.now() }: ActParts): void {
  if (!desk) {
    app.post('/api/acts', (_request, reply) => refuse(reply, 403, 'not-live', 'nothing can be written into a replay'));
    return;
  }
  const budget = new Budget(acts, nowMs);
  app.post('/api/acts', {
    bodyLimit: ACT_BYTES_MAX,
    config: { access: 'write' },
    // After the doors, and before a byte of the body is read.
    onRequest: async (_request, reply) => {
      if (budget.spend()) return;
      reply.header('retry-after', '1');
      return refuse(reply, 429, 'too-many', 'too many acts at once; wait a moment');
    },
    errorHandler: (error: FastifyError, _request, reply) => void sayError(error, reply),
    handler: async (request, reply) => {
      const read = readAct(request.body);
      if (!read.ok) return refuse(reply, 400, 'bad-act', read.why);
      return await desk.take(read.act);
    },
  });
  addChannelRoutes(app, desk);
}

function sayError(error: FastifyError, reply: FastifyReply): FastifyReply {
  if (error.statusCode === 413) return refuse(reply, 413, 'too-large', `an act has at most ${ACT_BYTES_MAX} bytes`);
  if (error.statusCode !== undefined && error.statusCode < 500) return refuse(reply, 400, 'bad-json', 'an act is one JSON object');
  reply.log.error({ err: error }, 'an act could not be taken');
  return refuse(reply, 500, 'not-kept', 'the act may be lost: the journal could not be written; the terminal says why');
}
