/**
 * A page that nobody sees. A browser without a screen hides none of its pages, so this one is told that it is hidden, as
 * a browser tells it; a real one would spare itself its drawing besides.
 */
import type { Page } from 'playwright-core';
import type { Cost, PageMeter } from './page-meter.ts';

/** Before any script of the page. */
export const CAN_BE_HIDDEN = `(() => {
  let isHidden = false;
  Object.defineProperty(document, 'hidden', { get: () => isHidden });
  Object.defineProperty(document, 'visibilityState', { get: () => (isHidden ? 'hidden' : 'visible') });
  window.__hide = (wanted) => { isHidden = wanted; document.dispatchEvent(new Event('visibilitychange')); };
})()`;

/** Until it lets go of the line. */
const RESTS_AFTER_S = 7;

export interface Traffic {
  messages: number;
  open: number;
}

/** To be begun before the page is opened. */
export function countTraffic(page: Page): Traffic {
  const traffic = { messages: 0, open: 0 };
  page.on('websocket', (socket) => {
    traffic.open += 1;
    socket.on('framereceived', () => {
      traffic.messages += 1;
    });
    socket.on('close', () => {
      traffic.open -= 1;
    });
  });
  return traffic;
}

export interface OutOfSight {
  readonly cost: Cost;
  readonly messages: number;
  readonly linesOpen: number;
  /** From being seen again to the first frame with what the host says now, ms. */
  readonly backAfterMs: number;
}

export async function outOfSight(page: Page, { meter, traffic, seconds }: { meter: PageMeter; traffic: Traffic; seconds: number }) {
  await page.evaluate('window.__hide(true)');
  await new Promise((done) => setTimeout(done, 1000 * RESTS_AFTER_S));
  const before = traffic.messages;
  const cost = await meter.costOver(seconds);
  const messages = traffic.messages - before;
  const linesOpen = traffic.open;
  const fromMs = performance.now();
  await page.evaluate('window.__hide(false)');
  await page.getByText('Connected', { exact: true }).waitFor();
  return { cost, messages, linesOpen, backAfterMs: performance.now() - fromMs } satisfies OutOfSight;
}
