/**
 * What a replay is told over HTTP. It changes no record, only what every page of it shows: so it stands behind the same
 * doors as the crew's acts, and only who was given the address with the key to write may move it.
 */
import type { FastifyError, FastifyInstance } from 'fastify';
import { type Allowance, Budget } from '../access/budget.ts';
import { refuse } from '../refuse.ts';
import { readCommand } from './command-schema.ts';
import type { ReplayDesk } from './replay-desk.ts';

const COMMAND_BYTES_MAX = 1024;

export function addReplayRoutes(app: FastifyInstance, desk: ReplayDesk, commands: Allowance): void {
  const budget = new Budget(commands, () => performance.now());
  app.post('/api/replay', {
    bodyLimit: COMMAND_BYTES_MAX,
    config: { access: 'write' },
    // After the doors, and before a byte of the body is read.
    onRequest: async (_request, reply) => {
      if (budget.spend()) return;
      reply.header('retry-after', '1');
      return refuse(reply, 429, 'too-many', 'too many commands at once; wait a moment');
    },
    errorHandler: (error: FastifyError, _request, reply) => {
      const isTheirs = error.statusCode !== undefined && error.statusCode < 500;
      if (!isTheirs) reply.log.error({ err: error }, 'a command could not be taken');
      const message = isTheirs ? 'a command is one small JSON object' : 'the replay failed';
      void refuse(reply, error.statusCode ?? 500, isTheirs ? 'bad-json' : 'failed', message);
    },
    handler: (request, reply) => {
      const read = readCommand(request.body);
      return read.ok ? reply.send(desk.take(read.command)) : refuse(reply, 400, 'bad-command', read.why);
    },
  });
  app.get('/api/replay/comparison', (_request, reply) => {
    const comparison = desk.comparison();
    return comparison ? reply.send(comparison) : refuse(reply, 404, 'no-comparison', 'this replay has no corrected rig file');
  });
  app.get<{ Querystring: { from?: string | string[] } }>('/api/replay/marks', (request, reply) => {
    const { from = '0' } = request.query;
    if (typeof from !== 'string' || !/^\d{1,6}$/.test(from)) return refuse(reply, 400, 'bad-from', 'from must be the number of a mark');
    return reply.send(desk.marks(Number(from)));
  });
}
