/** A server that answers as it is told to: for what the real ones cannot be made to do. It keeps the lines that it took. */
import { createServer, type IncomingMessage } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface Asked {
  readonly path: string;
  readonly headers: IncomingMessage['headers'];
  readonly lines: readonly string[];
  /** Requests under way, this one too. */
  readonly underWay: number;
}

/** cut: the connection is reset before an answer. silent: there is none. */
export type Answer =
  | 'cut'
  | 'silent'
  | { readonly status: number; readonly headers?: Record<string, string>; readonly body?: string; readonly afterMs?: number };

export const TAKEN: Answer = { status: 204 };

export interface StandIn {
  readonly url: string;
  readonly asked: readonly Asked[];
  /** Of requests answered with 204. */
  readonly taken: readonly string[];
  answer: (asked: Asked) => Answer;
  close(): Promise<void>;
}

export async function standIn(): Promise<StandIn> {
  const asked: Asked[] = [];
  const taken: string[] = [];
  let underWay = 0;
  const server = createServer(async (request, response) => {
    underWay += 1;
    response.once('close', () => {
      underWay -= 1;
    });
    let body = '';
    request.on('error', () => undefined);
    for await (const part of request) body += part;
    const one = { path: request.url ?? '', headers: request.headers, lines: body.split('\n').filter(Boolean), underWay };
    asked.push(one);
    const answer = it.answer(one);
    if (answer === 'silent') return;
    if (answer === 'cut') {
      request.socket.resetAndDestroy();
      return;
    }
    if (answer.status === 204) for (const line of one.lines) taken.push(line);
    setTimeout(() => response.writeHead(answer.status, answer.headers).end(answer.body), answer.afterMs ?? 0);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const it: StandIn = {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    asked,
    taken,
    answer: () => TAKEN,
    close: () => {
      server.closeAllConnections();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
  return it;
}
