/** The maps over HTTP: whole, and one question at a time. Everything here reads. */
import type { FastifyInstance, FastifyReply } from 'fastify';
import { refuse } from '../refuse.ts';
import { type MapAsked, MapBusyError, type MapDesk } from './map-desk.ts';

type Query = Readonly<Record<string, string | string[] | undefined>>;

/** What may be asked for: beyond these nothing is a pressure, a temperature or a velocity of a launcher. */
const BOUNDS = {
  reservoirPa: [1e3, 2e8],
  barrelPa: [1, 1e7],
  velocityMps: [1, 1e4],
  gasK: [150, 1500],
  airK: [150, 400],
} as const;

/** @param desk  without one, as in a replay, every answer is null: there are no maps */
export function addMapRoutes(app: FastifyInstance, desk: MapDesk | undefined): void {
  app.get('/api/map', (_request, reply) => answer(reply, async () => desk?.report()));
  app.get<{ Params: { id: string } }>('/api/map/shots/:id', (request, reply) =>
    answer(reply, async () => {
      const kinds = (await desk?.report())?.kinds ?? [];
      const usable = kinds.flatMap(({ points, noMap }) => (noMap === '' ? points : []));
      return usable.find(({ shotId }) => shotId === request.params.id);
    }),
  );
  app.get('/api/map/sources', (_request, reply) => answer(reply, async () => desk?.sources()));
  app.get<{ Querystring: Query }>('/api/map/expected', (request, reply) => {
    const [reservoirPressurePa, asked] = [numberIn(request.query, 'reservoirPa'), askedIn(request.query)];
    if (reservoirPressurePa === undefined || !asked) return badQuestion(reply, 'reservoirPa');
    return answer(reply, async () => desk?.expected({ ...asked, reservoirPressurePa }));
  });
  app.get<{ Querystring: Query }>('/api/map/fill', (request, reply) => {
    const [velocityMps, asked] = [numberIn(request.query, 'velocityMps'), askedIn(request.query)];
    if (velocityMps === undefined || !asked) return badQuestion(reply, 'velocityMps');
    return answer(reply, async () => desk?.fillFor({ ...asked, velocityMps }));
  });
}

/** @returns undefined where something is missing, or is no such number */
function askedIn(query: Query): MapAsked | undefined {
  const barrelPressurePa = numberIn(query, 'barrelPa');
  const [gasTemperatureK, airTemperatureK] = [numberIn(query, 'gasK'), numberIn(query, 'airK')];
  if (barrelPressurePa === undefined || (query.gasK !== undefined && gasTemperatureK === undefined)) return undefined;
  if (query.airK !== undefined && airTemperatureK === undefined) return undefined;
  return {
    barrelPressurePa,
    ...(gasTemperatureK === undefined ? {} : { gasTemperatureK }),
    ...(airTemperatureK === undefined ? {} : { airTemperatureK }),
  };
}

function numberIn(query: Query, name: keyof typeof BOUNDS): number | undefined {
  const text = query[name];
  if (typeof text !== 'string' || !/^\d{1,10}(\.\d{1,10})?$/.test(text)) return undefined;
  const value = Number(text);
  return value >= BOUNDS[name][0] && value <= BOUNDS[name][1] ? value : undefined;
}

const badQuestion = (reply: FastifyReply, name: keyof typeof BOUNDS): FastifyReply =>
  refuse(reply, 400, 'bad-question', `${name} and barrelPa must be plain numbers of a launcher, in SI; gasK and airK may be`);

async function answer(reply: FastifyReply, ask: () => Promise<unknown>): Promise<FastifyReply> {
  try {
    // Not 404: that there is no map, or not of that shot, is an answer like any other.
    const told = JSON.stringify((await ask()) ?? null);
    return reply.type('application/json; charset=utf-8').send(told);
  } catch (error) {
    if (error instanceof MapBusyError) {
      reply.header('retry-after', '2');
      return refuse(reply, 503, 'map-busy', 'too many questions about the map wait already; ask again in a moment');
    }
    throw error;
  }
}
