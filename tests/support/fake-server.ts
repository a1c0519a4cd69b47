/** The real server over the invented stream: `npx tsx tests/support/fake-server.ts` to look at the pages. */
import { fileURLToPath } from 'node:url';
import { LiveFeed, startServer } from '../../host/serve/index.ts';
import { eventsBetween, openingEvents } from './fake-feed.ts';

/** Begins 45 s into the session, so that there is something to see at once. */
const HEAD_START_S = 45;

export async function startFakeServer({ port = 0 } = {}) {
  const feed = new LiveFeed({ mode: 'live' });
  const openedAtMs = Date.now() - HEAD_START_S * 1000;
  const nowNs = () => (Date.now() - openedAtMs) * 1e6;
  let doneNs = 0;
  const advance = () => {
    const untilNs = nowNs();
    for (const event of eventsBetween(doneNs, untilNs, openedAtMs)) feed.accept(event);
    doneNs = untilNs;
  };
  for (const event of openingEvents(new Date(openedAtMs).toISOString())) feed.accept(event);
  advance();
  const timer = setInterval(advance, 100);
  const pagesDir = fileURLToPath(new URL('../../dashboards/dist', import.meta.url));
  const server = await startServer({ feed, port, pagesDir, nowNs });
  return {
    feed,
    nowNs,
    url: server.url,
    /** The stream stops: nothing more comes from the board. */
    stall: () => clearInterval(timer),
    async close() {
      clearInterval(timer);
      await server.close();
    },
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { url } = await startFakeServer({ port: 4850 });
  process.stdout.write(`${url}\n`);
}
