/** What can be asked for over HTTP. Everything here reads; what writes is in operator/. */
import type { FastifyInstance } from 'fastify';
import type { SessionNs } from '../../protocol/index.ts';
import type { LiveClients } from './live-clients.ts';
import type { LiveFeed } from './live-feed.ts';
import { withoutTraces } from './recent-shots.ts';
import { refuse } from './refuse.ts';
import type { ShotSource } from './shot-source.ts';

export const SHOTS_LISTED_DEFAULT = 50;
export const SHOTS_LISTED_MAX = 1_000;

export interface RouteParts {
  readonly feed: LiveFeed;
  readonly shots: ShotSource;
  readonly clients: LiveClients;
  readonly nowNs: () => SessionNs;
}

export function addRoutes(app: FastifyInstance, { feed, shots, clients, nowNs }: RouteParts): void {
  app.get('/api/health', () => ({
    status: 'ok',
    mode: feed.mode,
    sessionId: feed.sessionId ?? null,
    pages: clients.count,
  }));

  app.get('/api/state', (_request, reply) => {
    const snapshot = feed.snapshotText(nowNs());
    if (!snapshot) return refuse(reply, 503, 'no-session', 'no session has begun yet');
    return reply.type('application/json; charset=utf-8').send(snapshot);
  });

  app.get<{ Querystring: { limit?: string | string[] } }>('/api/shots', async (request, reply) => {
    const limit = limitOf(request.query.limit);
    if (limit === undefined) return refuse(reply, 400, 'bad-limit', `limit must be a whole number from 1 to ${SHOTS_LISTED_MAX}`);
    // A list of whole traces would be as large as all the shots together; each shot's own address has them.
    return (await shots.shots({ limit })).map(withoutTraces);
  });

  app.get<{ Params: { id: string } }>('/api/shots/:id', async (request, reply) => {
    const shot = await shots.shot(request.params.id);
    return shot ?? refuse(reply, 404, 'no-such-shot', 'there is no shot of that id');
  });
}

function limitOf(text: string | string[] | undefined): number | undefined {
  if (text === undefined) return SHOTS_LISTED_DEFAULT;
  if (typeof text !== 'string' || !/^[1-9]\d{0,5}$/.test(text)) return undefined;
  const limit = Number(text);
  return limit <= SHOTS_LISTED_MAX ? limit : undefined;
}
