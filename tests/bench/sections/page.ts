/** How heavy the pages are and how evenly eight scrolling traces are drawn. At length: `npm run check:pages`. */
import { openBrowser } from '../../support/browser.ts';
import { buildPages } from '../../support/built-pages.ts';
import { openTraces, serveEightTraces } from '../pages/eight-traces.ts';
import { firstViews, firstWord } from '../pages/first-view.ts';
import type { Section } from '../section.ts';

const FIRST_VIEW_BYTES_MAX = 200e3;
const FRAMES_PER_S_MIN = 58;
const BUSY_SHARE_MAX = 0.5;

export const page: Section = async function* ({ isSmall }) {
  const built = await buildPages();
  const browser = await openBrowser();
  const stream = await serveEightTraces(built.folder);
  try {
    const first = await browser.context.newPage();
    const views = await firstViews(first, stream.server.url);
    const word = await firstWord(stream.server.url);
    await first.close();
    const heaviest = views.reduce((a, b) => (b.bytes.br > a.bytes.br ? b : a));
    yield {
      row: {
        what: `the heaviest of ${views.length} pages (${heaviest.name}), first view, packed; the live feed's first message`,
        wanted: `under ${FIRST_VIEW_BYTES_MAX / 1e3} kB`,
        found: `${(heaviest.bytes.br / 1e3).toFixed(1)} kB; ${(word.packedBytes / 1e3).toFixed(1)} kB`,
        reached: heaviest.bytes.br < FIRST_VIEW_BYTES_MAX,
      },
      ratios: { packedToPlain: heaviest.bytes.br / heaviest.bytes.identity },
      values: { views, word },
    };
    const { page: traces, meter } = await openTraces(browser.context, stream.server.url);
    let cost = await meter.costOver(0.1);
    const frames = await meter.framesIn(async () => {
      cost = await meter.costOver(isSmall ? 3 : 20);
    });
    await traces.close();
    yield {
      row: {
        what: `8 traces of 1 kHz over 10 min, ${cost.seconds.toFixed(0)} s: frames a second, ms between two, and the main thread at work`,
        wanted: `at least ${FRAMES_PER_S_MIN}; under ${100 * BUSY_SHARE_MAX} %`,
        found: `${frames.perS.toFixed(1)}; 99 % within ${frames.p99Ms.toFixed(0)} ms, longest ${frames.longestMs.toFixed(0)} ms; ${(100 * cost.busyShare).toFixed(1)} %`,
        reached: isSmall || (frames.perS >= FRAMES_PER_S_MIN && cost.busyShare < BUSY_SHARE_MAX),
      },
      ratios: { framesToScreen: frames.perS / 60 },
      values: { frames, cost },
    };
  } finally {
    await browser.close();
    await stream.close();
    await built.remove();
  }
};
