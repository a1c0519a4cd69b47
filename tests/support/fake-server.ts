/** The real server over the invented stream: `npx tsx tests/support/fake-server.ts` to look at the pages. */
import { fileURLToPath } from 'node:url';
import { LiveFeed, startServer } from '../../host/serve/index.ts';
import { FakeCrew } from './fake-crew.ts';
import { CYCLE_S, eventsBetween, openingEvents } from './fake-feed.ts';
import { instrumentEvents, limitEvent, watchEventsAt } from './fake-watches.ts';

/** Begins 45 s into the session, so that there is something to see at once. */
const HEAD_START_S = 45;
/** Of each cycle, a limit passed and left again. */
const ALARM_S = { from: 10, to: 13 } as const;

export async function startFakeServer({ port = 0 } = {}) {
  const feed = new LiveFeed({ mode: 'live' });
  const crew = new FakeCrew();
  const openedAtMs = Date.now() - HEAD_START_S * 1000;
  const nowNs = () => (Date.now() - openedAtMs) * 1e6;
  let doneNs = 0;
  let isSettled = false;
  let isPassed = false;
  const advance = () => {
    const untilNs = nowNs();
    const inCycleS = (untilNs / 1e9) % CYCLE_S;
    for (const event of [...eventsBetween(doneNs, untilNs, openedAtMs), ...watchEventsAt(untilNs)]) feed.accept(event);
    doneNs = untilNs;
    if (isSettled !== (inCycleS >= 13 && inCycleS < 16)) {
      isSettled = !isSettled;
      feed.accept(crew.condition('settled', isSettled, untilNs));
    }
    if (isPassed !== (inCycleS >= ALARM_S.from && inCycleS < ALARM_S.to)) {
      isPassed = !isPassed;
      feed.accept(limitEvent(untilNs, isPassed ? 'active' : 'latched', { was: isPassed ? 'clear' : 'active' }));
    }
  };
  const opening = [...openingEvents(new Date(openedAtMs).toISOString()), ...instrumentEvents(), crew.holdPoints(0)];
  for (const event of opening) feed.accept(event);
  advance();
  const timer = setInterval(advance, 200);
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
