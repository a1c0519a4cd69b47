import type { FastifyReply } from 'fastify';

/** The one shape of all refusals. */
export function refuse(reply: FastifyReply, status: number, code: string, message: string): FastifyReply {
  return reply.code(status).send({ code, message });
}
