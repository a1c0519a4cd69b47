/**
 * The past, for pages: which sessions and shots there are, and a span of channels as it fits a screen.
 * Bounded: so many points and channels an answer, so many answers at a time; the live feed goes first.
 */
import type { FastifyInstance } from 'fastify';
import { SPAN_CHANNELS_MAX } from '../../store/index.ts';
import { refuse } from '../refuse.ts';
import { type HistoryText, historyQuery } from './history-query.ts';
import type { HistorySource } from './history-source.ts';
import { sendPacked } from './send-packed.ts';

export const SESSIONS_LISTED_MAX = 1_000;
/** Each takes some hundredths of a second of the database's threads. */
const AT_ONCE_MAX = 4;
const NONE = 'there is no store here: a replay has only what it replays';

export interface HistoryParts {
  readonly history: HistorySource | undefined;
  readonly sessionNow: () => string | undefined;
}

export function addHistoryRoutes(app: FastifyInstance, { history, sessionNow }: HistoryParts): void {
  let running = 0;

  app.get('/api/sessions', async (_request, reply) => {
    if (!history) return refuse(reply, 404, 'no-history', NONE);
    const sessions = await history.sessions();
    return sessions.slice(0, SESSIONS_LISTED_MAX).map(({ id, openedAt, rig, shots, shotsFlagged }) => ({
      ...{ id, openedAt, rig: rig.name, site: rig.site, shots, shotsFlagged },
      channels: rig.channels.map(({ name, measures, unit }) => ({ name, measures, unit })),
    }));
  });

  app.get('/api/shot-table', async (request, reply) => {
    if (!history) return refuse(reply, 404, 'no-history', NONE);
    return sendPacked(request, reply, { shots: await history.shotTable() });
  });

  app.get<{ Params: { id: string } }>('/api/shots/:id/acts', async (request, reply) => {
    if (!history) return refuse(reply, 404, 'no-history', NONE);
    return await history.shotActs(request.params.id);
  });

  app.get<{ Params: { id: string } }>('/api/sessions/:id/rig', async (request, reply) => {
    const found = (await history?.sessions())?.find(({ id }) => id === request.params.id);
    return found?.rig ?? refuse(reply, 404, 'no-such-session', 'there is no session of that name in the store');
  });

  app.get<{ Querystring: HistoryText }>('/api/history', async (request, reply) => {
    if (!history) return refuse(reply, 404, 'no-history', NONE);
    const query = historyQuery(request.query, sessionNow());
    if (typeof query === 'string') return refuse(reply, 400, 'bad-span', query);
    if (running >= AT_ONCE_MAX) return refuse(reply, 503, 'busy', 'too many ask for the past at once: ask again in a second');
    running += 1;
    try {
      const { session, fromNs, toNs, points } = query;
      const channels = query.channels ?? (await channelsOf(history, session));
      if (channels.length === 0) return refuse(reply, 404, 'no-such-session', 'there is no session of that name in the store');
      const span = await history.span({ sessionId: session, channels, fromNs, toNs, points });
      return { session, widthS: span.widthNs / 1e9, channels: span.channels };
    } finally {
      running -= 1;
    }
  });
}

async function channelsOf(history: HistorySource, session: string): Promise<readonly string[]> {
  const found = (await history.sessions()).find(({ id }) => id === session);
  return found?.rig.channels.map(({ name }) => name).slice(0, SPAN_CHANNELS_MAX) ?? [];
}
