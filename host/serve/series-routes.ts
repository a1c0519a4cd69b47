/** How the sending to the server of time series does, and which rigs that server knows. Reads only. */
import type { FastifyInstance } from 'fastify';
import type { Fleet } from '../../protocol/index.ts';
import { refuse } from './refuse.ts';
import type { SeriesDesk } from './series-desk.ts';

export const FLEET_QUERY = { days: { usual: 30, most: 3_650 }, shots: { usual: 50, most: 1_000 } };
/** Many pages may look at once; the server is asked no more often than that. */
const FLEET_KEPT_MS = 3_000;
const FLEETS_KEPT = 16;

type Query = { readonly [key in 'days' | 'shots']?: string | string[] };

/** @param desk  left out: nothing is sent, and there is no fleet */
export function addSeriesRoutes(app: FastifyInstance, desk: SeriesDesk | undefined): void {
  const kept = new Map<string, { readonly atMs: number; readonly fleet: Promise<Fleet> }>();
  app.get('/api/series', () => desk?.state() ?? null);

  app.get<{ Querystring: Query }>('/api/fleet', async (request, reply) => {
    if (!desk) return refuse(reply, 404, 'no-server', 'this host has no server of time series; its rig file or environment can name one');
    const days = wholeOf(request.query.days, FLEET_QUERY.days);
    const shots = wholeOf(request.query.shots, FLEET_QUERY.shots);
    if (days === undefined || shots === undefined) {
      const { days: d, shots: s } = FLEET_QUERY;
      return refuse(reply, 400, 'bad-number', `days must be a whole number from 1 to ${d.most}, shots one from 1 to ${s.most}`);
    }
    try {
      return await fleetOf(desk, kept, { days, shots });
    } catch (error) {
      return refuse(
        reply,
        502,
        'no-answer',
        `the server of time series cannot be asked: ${error instanceof Error ? error.message : error}`,
      );
    }
  });
}

function fleetOf(
  desk: SeriesDesk,
  kept: Map<string, { readonly atMs: number; readonly fleet: Promise<Fleet> }>,
  question: { readonly days: number; readonly shots: number },
): Promise<Fleet> {
  const key = `${question.days}/${question.shots}`;
  const known = kept.get(key);
  if (known && performance.now() - known.atMs < FLEET_KEPT_MS) return known.fleet;
  if (kept.size >= FLEETS_KEPT) kept.clear();
  const fleet = desk.fleet(question);
  kept.set(key, { atMs: performance.now(), fleet });
  return fleet;
}

function wholeOf(
  text: string | string[] | undefined,
  { usual, most }: { readonly usual: number; readonly most: number },
): number | undefined {
  if (text === undefined) return usual;
  if (typeof text !== 'string' || !/^[1-9]\d{0,4}$/.test(text)) return undefined;
  return Number(text) <= most ? Number(text) : undefined;
}
