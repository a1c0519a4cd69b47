/**
 * The one place where something can be written over HTTP, and what helps to write it right. A page from elsewhere
 * cannot: it lacks the token, its origin is refused, and a bearer token is nothing that a browser adds by itself.
 */
import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { isOwnOrigin } from '../loopback.ts';
import { refuse } from '../refuse.ts';
import { ActBudget } from './act-budget.ts';
import { readAct } from './act-schema.ts';
import { addChannelRoutes } from './channel-routes.ts';
import type { CrewDesk } from './desk.ts';
import { isBearer } from './token.ts';

/** The longest note in four-byte characters, and room around it. */
export const ACT_BYTES_MAX = 8 * 1024;

export interface ActParts {
  /** Left out in a replay, which is written by nobody. */
  readonly desk: CrewDesk | undefined;
  /** Of a clock that only goes forward. */
  readonly nowMs?: () => number;
}

export function addActRoutes(app: FastifyInstance, { desk, nowMs = () => performance.now() }: ActParts): void {
  if (!desk) {
    app.post('/api/acts', (_request, reply) => refuse(reply, 403, 'not-live', 'nothing can be written into a replay'));
    return;
  }
  const budget = new ActBudget(nowMs);
  app.post('/api/acts', {
    bodyLimit: ACT_BYTES_MAX,
    // Before a byte of the body is read.
    onRequest: async (request, reply) => turnAway(request, reply, { token: desk.token, budget, what: 'acts' }),
    errorHandler: (error: FastifyError, _request, reply) => void sayError(error, reply),
    handler: async (request, reply) => {
      const read = readAct(request.body);
      if (!read.ok) return refuse(reply, 400, 'bad-act', read.why);
      return await desk.take(read.act);
    },
  });
  addChannelRoutes(app, desk);
}

export interface Door {
  readonly token: string;
  readonly budget: ActBudget;
  /** What comes in by it, in the plural. */
  readonly what: string;
}

/** Who may not send, and what is not sent so. @returns undefined where it may come in */
export function turnAway(request: FastifyRequest, reply: FastifyReply, { token, budget, what }: Door): FastifyReply | undefined {
  const { host = '', origin, authorization } = request.headers;
  const site = request.headers['sec-fetch-site'];
  const isElsewhere = site !== undefined && site !== 'same-origin' && site !== 'none';
  if (isElsewhere || !isOwnOrigin(origin, host)) return refuse(reply, 403, 'not-this-page', `${what} come from this host’s own page only`);
  if (!isBearer(authorization, token)) {
    reply.header('www-authenticate', 'Bearer');
    return refuse(reply, 401, 'no-token', 'show the session’s token; the terminal gave it, in an address, when the session began');
  }
  if (!/^application\/json\s*(;|$)/i.test(request.headers['content-type'] ?? '')) {
    return refuse(reply, 415, 'not-json', `${what} are sent as application/json`);
  }
  if (!budget.spend()) {
    reply.header('retry-after', '1');
    return refuse(reply, 429, 'too-many', `too many ${what} at once; wait a moment`);
  }
  return undefined;
}

function sayError(error: FastifyError, reply: FastifyReply): FastifyReply {
  if (error.statusCode === 413) return refuse(reply, 413, 'too-large', `an act has at most ${ACT_BYTES_MAX} bytes`);
  if (error.statusCode !== undefined && error.statusCode < 500) return refuse(reply, 400, 'bad-json', 'an act is one JSON object');
  reply.log.error({ err: error }, 'an act could not be taken');
  return refuse(reply, 500, 'not-kept', 'the act may be lost: the journal could not be written; the terminal says why');
}
