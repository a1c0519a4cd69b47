import { WebSocket } from 'ws';
import type { LiveMessage } from '../../protocol/index.ts';

/** Resolves when a session's pages have been shown a reading of a channel; until then nothing can be made of it. */
export async function firstReading(url: string, channel: string, timeoutMs = 60_000): Promise<void> {
  const socket = new WebSocket(new URL('live', url.replace(/^http/, 'ws')));
  try {
    await new Promise<void>((resolve, reject) => {
      AbortSignal.timeout(timeoutMs).addEventListener('abort', () => reject(new Error(`nothing came from ${channel} in ${timeoutMs} ms`)));
      socket.on('error', reject);
      socket.on('close', () => reject(new Error(`the session closed before anything came from ${channel}`)));
      socket.on('message', (data) => {
        const message = JSON.parse(String(data)) as LiveMessage;
        const envelopes = message.type === 'snapshot' ? message.history : message.type === 'envelope' ? message.envelopes : [];
        if (envelopes.some((envelope) => envelope.channel === channel && envelope.lastSi !== null)) resolve();
      });
    });
  } finally {
    socket.close();
  }
}
