/** Puts the doors before every route of the server: names, rates, rights, in this order, before a byte of a body is read. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { refuse } from '../refuse.ts';
import { securityHeaders } from '../security-headers.ts';
import type { Access, Right } from './access.ts';
import type { Callers } from './callers.ts';

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Left out: `look`. */
    access?: Right;
  }
}

export interface GateKeeping {
  readonly access: Access;
  readonly callers: Callers;
}

export function keepGate(app: FastifyInstance, { access, callers }: GateKeeping): void {
  app.server.on('connection', (socket) => {
    const release = callers.connect(socket.remoteAddress ?? '');
    if (release) socket.once('close', release);
    else socket.destroy();
  });
  app.addHook('onRequest', async (request, reply) => {
    const { headers } = request;
    const wrongName = access.wrongName({ headers, localAddress: request.socket.localAddress });
    if (wrongName) return refuse(reply, wrongName.status, wrongName.code, wrongName.message);
    reply.headers(securityHeaders(headers.host ?? '', access.names));
    if (!callers.mayAsk(request.socket.remoteAddress ?? '')) {
      reply.header('retry-after', '1');
      return refuse(reply, 429, 'too-many', 'too many requests at once; wait a moment');
    }
    return turnAway(access, request, reply);
  });
}

function turnAway(access: Access, request: FastifyRequest, reply: FastifyReply): FastifyReply | undefined {
  const right = request.routeOptions.config?.access ?? 'look';
  // What was looked at is kept by no cache: neither a proxy's nor the browser's own.
  if (right !== 'open') reply.header('cache-control', 'no-store');
  const refusal = access.refusal(right, request.headers);
  if (refusal) {
    if (refusal.status === 401) reply.header('www-authenticate', 'Bearer');
    return refuse(reply, refusal.status, refusal.code, refusal.message);
  }
  // A form may be sent by any page without asking; JSON may not.
  if (right === 'write' && !/^application\/json\s*(;|$)/i.test(request.headers['content-type'] ?? '')) {
    return refuse(reply, 415, 'not-json', 'an act is sent as application/json');
  }
  return undefined;
}
