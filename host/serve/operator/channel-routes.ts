/** What a channel shows, and what a zero or a calibration would make of it. Reads only. */
import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Told } from '../../pipeline/index.ts';
import { refuse } from '../refuse.ts';
import type { CrewDesk, ShownPoint } from './desk.ts';

type Query<Key extends string> = { readonly [key in Key]?: string | string[] };
interface Of<Key extends string> {
  Params: { name: string };
  Querystring: Query<Key>;
}

export function addChannelRoutes(app: FastifyInstance, desk: CrewDesk): void {
  app.get<{ Params: { name: string } }>('/api/channels/:name', (request, reply) => told(reply, desk.shown(request.params.name)));

  app.get<Of<'should'>>('/api/channels/:name/zero', (request, reply) => {
    const { should } = request.query;
    const shouldReadSi = typeof should === 'string' ? numberOf(should) : undefined;
    if (shouldReadSi === undefined) return refuse(reply, 400, 'bad-value', 'should must be one number, in SI');
    return told(reply, desk.proposeZero(request.params.name, shouldReadSi));
  });

  app.get<Of<'point'>>('/api/channels/:name/calibration', (request, reply) => {
    const [first, second, ...more] = Array.isArray(request.query.point) ? request.query.point.map(pointOf) : [];
    if (!first || !second || more.length > 0) {
      return refuse(reply, 400, 'bad-points', 'point must stand there twice, each as two numbers in SI: shown,should');
    }
    return told(reply, desk.proposeCalibration(request.params.name, [first, second]));
  });
}

function told(reply: FastifyReply, answer: Told<unknown>): FastifyReply {
  return answer.ok ? reply.send(answer.value) : refuse(reply, 409, 'not-possible', answer.why);
}

const NUMBER = /^-?\d{1,20}(\.\d{0,20})?(e[-+]?\d{1,3})?$/i;

function numberOf(text: string): number | undefined {
  const value = NUMBER.test(text) ? Number(text) : Number.NaN;
  return Number.isFinite(value) ? value : undefined;
}

function pointOf(text: string): ShownPoint | undefined {
  const [shownSi, shouldReadSi, ...more] = text.split(',').map(numberOf);
  return shownSi === undefined || shouldReadSi === undefined || more.length > 0 ? undefined : { shownSi, shouldReadSi };
}
