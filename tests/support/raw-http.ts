/** Bytes to a server and back, as no client library would send them. */
import { once } from 'node:events';
import { request } from 'node:http';
import { connect, type Socket } from 'node:net';

export interface RawAnswer {
  readonly status: number;
  readonly headers: NodeJS.Dict<string | string[]>;
  readonly body: string;
}

interface Asked {
  readonly headers?: Record<string, string>;
  readonly method?: string;
  readonly host?: string;
  readonly body?: string;
}

/** fetch would not let us choose Host and Origin. */
export function ask(
  port: number,
  path: string,
  { headers = {}, method = 'GET', host = '127.0.0.1', body }: Asked = {},
): Promise<RawAnswer> {
  return new Promise((resolve, reject) => {
    const asked = request({ host, port, path, method, headers }, (answer) => {
      let text = '';
      answer.setEncoding('utf8').on('data', (piece: string) => {
        text += piece;
      });
      answer.on('end', () => resolve({ status: answer.statusCode ?? 0, headers: answer.headers, body: text }));
    });
    asked.on('error', reject);
    // Let in as a WebSocket: the answer to the upgrade is the whole answer.
    asked.on('upgrade', (answer, socket) => {
      socket.destroy();
      resolve({ status: answer.statusCode ?? 0, headers: answer.headers, body: '' });
    });
    asked.end(body);
  });
}

/** What a browser sends to open `/live`. */
export const UPGRADE = {
  connection: 'Upgrade',
  upgrade: 'websocket',
  'sec-websocket-version': '13',
  'sec-websocket-key': 'AAAAAAAAAAAAAAAAAAAAAA==',
};

/** A connection, its errors taken. */
export async function rawSocket(port: number): Promise<Socket> {
  const socket = connect({ host: '127.0.0.1', port });
  socket.on('error', () => undefined);
  await once(socket, 'connect');
  return socket;
}

/** All that comes until the other end closes. */
export async function untilClosed(socket: Socket): Promise<string> {
  let text = '';
  socket.setEncoding('latin1').on('data', (piece: string) => {
    text += piece;
  });
  // `once` would take a reset for a failure of its own.
  if (!socket.closed) await new Promise<void>((resolve) => socket.once('close', () => resolve()));
  return text;
}

/** @param isAll  nothing more will come, and the other end is told so */
export async function sendRaw(port: number, bytes: string | Uint8Array, isAll = false): Promise<string> {
  const socket = await rawSocket(port);
  socket.write(bytes);
  if (isAll) socket.end();
  return untilClosed(socket);
}
