/** What is no HTTP, or comes too slowly: answered in one line and cut. Nothing of it is kept, for it may hold anything. */
import { STATUS_CODES } from 'node:http';
import type { Socket } from 'node:net';

const STATUS: Readonly<Record<string, number>> = {
  HPE_HEADER_OVERFLOW: 431,
  HPE_CHUNK_EXTENSIONS_OVERFLOW: 413,
  ERR_HTTP_REQUEST_TIMEOUT: 408,
};

export function answerBrokenRequest({ code }: { readonly code?: string }, socket: Socket): void {
  if (code === 'ECONNRESET' || !socket.writable) {
    socket.destroy();
    return;
  }
  const status = STATUS[code ?? ''] ?? 400;
  // Whoever does not take the answer is not waited for either.
  socket.end(`HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`);
  socket.destroySoon();
}
