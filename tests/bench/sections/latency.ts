/** From a shot's last edge on the wire to its velocity on a page, and at a plain WebSocket client. */
import { cpus, loadavg } from 'node:os';
import { openBrowser } from '../../support/browser.ts';
import { quantile } from '../costs.ts';
import { shotLatency } from '../pages/shot-latency.ts';
import type { Section } from '../section.ts';

const PAGE_MS_MAX = 100;

export const latency: Section = async function* ({ isSmall }) {
  const browser = await openBrowser();
  try {
    const page = await browser.context.newPage();
    const { ms, heardMs, socketMs, fired, clockMs } = await shotLatency(page, isSmall ? 3 : 60);
    await page.close();
    const of = (times: readonly number[]): string =>
      `p50 ${quantile(times, 0.5).toFixed(0)} ms, p99 ${quantile(times, 0.99).toFixed(0)} ms, longest ${quantile(times, 1).toFixed(0)} ms`;
    yield {
      row: {
        what: `${fired} shots beside 32 channels at 1 kHz: from the last edge written to the board's port to the frame with the velocity (clocks within ${clockMs.toFixed(1)} ms; load ${loadavg()[0]?.toFixed(1)} on ${cpus().length} cores)`,
        wanted: `every one seen, p99 at most ${PAGE_MS_MAX} ms`,
        found: `${ms.length} seen, ${of(ms)}; in the browser ${of(heardMs)}`,
        reached: isSmall || (ms.length === fired && quantile(ms, 0.99) <= PAGE_MS_MAX),
      },
      values: { ms, heardMs, socketMs },
    };
    yield {
      row: {
        what: '… to a WebSocket client',
        wanted: `every one heard, p99 at most ${PAGE_MS_MAX} ms`,
        found: `${socketMs.length} heard, ${of(socketMs)}`,
        reached: isSmall || (socketMs.length === fired && quantile(socketMs, 0.99) <= PAGE_MS_MAX),
      },
      ratios: { pageToSocket: quantile(ms, 0.5) / quantile(socketMs, 0.5) },
    };
  } finally {
    await browser.close();
  }
};
