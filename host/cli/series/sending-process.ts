/**
 * The sender's own process: however long a server takes, however much there is to catch up, the host that measures has
 * nothing of it. It ends with the session, and where its host has gone.
 */
import { messageOf } from '../output.ts';
import { Exporter } from './exporter.ts';
import type { FromSender, ToSender } from './sending-messages.ts';

let isOver = false;
const stop = new AbortController();

const tell = (message: FromSender): void => {
  if (process.connected) process.send?.(message, undefined, undefined, () => undefined);
};

process.on('message', (message: ToSender) => {
  if (message.what === 'over') isOver = true;
  else start(message);
});
// The host has gone: what is not sent stays in the journal, for the next one.
process.on('disconnect', () => stop.abort());
// Ctrl-C goes to every process of the terminal; the host says when it is over.
process.on('SIGINT', () => undefined);
process.on('SIGTERM', () => undefined);

function start({ server, root, journals, sessionId }: Extract<ToSender, { what: 'start' }>): void {
  const exporter = new Exporter({
    server,
    root,
    journals,
    live: { sessionId, isOver: () => isOver },
    onState: (state) => tell({ state }),
  });
  exporter.run(stop.signal).then(
    () => process.disconnect?.(),
    (error: unknown) => {
      process.stderr.write(`${messageOf(error)}\n`);
      process.exit(1);
    },
  );
}
