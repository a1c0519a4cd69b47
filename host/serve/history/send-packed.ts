import { promisify } from 'node:util';
import { constants, gzip } from 'node:zlib';
import type { FastifyReply, FastifyRequest } from 'fastify';

/** Below it packing saves nothing that anybody would notice. */
const PACKED_FROM_BYTES = 16 * 1024;
const pack = promisify(gzip);

/** A long answer as JSON, packed for whoever takes it so: in a thread of its own, and quickly rather than tightly. */
export async function sendPacked(request: FastifyRequest, reply: FastifyReply, body: object): Promise<FastifyReply> {
  const text = Buffer.from(JSON.stringify(body));
  reply.type('application/json; charset=utf-8').header('vary', 'accept-encoding');
  const isTaken = /\bgzip\b/.test(String(request.headers['accept-encoding'] ?? ''));
  if (!isTaken || text.length < PACKED_FROM_BYTES) return reply.send(text);
  return reply.header('content-encoding', 'gzip').send(await pack(text, { level: constants.Z_BEST_SPEED }));
}
