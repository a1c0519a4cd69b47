/**
 * What a replay is told over HTTP. It changes no record, only what every page of it shows: so it stands behind the same
 * door as the crew's acts, and only who was given the address with the key may move it.
 */
import type { FastifyError, FastifyInstance } from 'fastify';
import { ActBudget } from '../operator/act-budget.ts';
import { turnAway } from '../operator/act-routes.ts';
import { refuse } from '../refuse.ts';
import { readCommand } from './command-schema.ts';
import type { ReplayDesk } from './replay-desk.ts';

const COMMAND_BYTES_MAX = 1024;

export function addReplayRoutes(app: FastifyInstance, desk: ReplayDesk): void {
  const door = { token: desk.token, budget: new ActBudget(() => performance.now()), what: 'commands' };
  app.post('/api/replay', {
    bodyLimit: COMMAND_BYTES_MAX,
    // Before a byte of the body is read.
    onRequest: async (request, reply) => turnAway(request, reply, door),
    errorHandler: (error: FastifyError, _request, reply) => {
      const isTheirs = error.statusCode !== undefined && error.statusCode < 500;
      if (!isTheirs) reply.log.error({ err: error }, 'a command could not be taken');
      void refuse(
        reply,
        error.statusCode ?? 500,
        isTheirs ? 'bad-json' : 'failed',
        isTheirs ? 'a command is one small JSON object' : 'the replay failed',
      );
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
}
