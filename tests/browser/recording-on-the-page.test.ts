/** A journal that is not being written is on the page at once and loud, on a desk and on a phone, until it is over. */
import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { LiveFeed, type RunningServer, startServer } from '../../host/serve/index.ts';
import type { RecordingState } from '../../protocol/index.ts';
import { eventsBetween, openingEvents } from '../support/fake-feed.ts';
import { watchEventsAt } from '../support/fake-watches.ts';
import { pagesInBrowser } from '../support/pages-in-browser.ts';

const NOW_NS = 15e9;
const WAITING: RecordingState = {
  problem: 'ENOSPC: no space left on device, write',
  sinceNs: 12e9,
  waitingBytes: 16 * 1024 * 1024,
  waitingBytesMax: 64 * 1024 * 1024,
};
const LOST = { records: 4711, fromNs: 13e9, toNs: 14.5e9, sources: ['gate-board', 'host'] };
const OVER: RecordingState = { problem: '', waitingBytes: 0, waitingBytesMax: WAITING.waitingBytesMax };

const pages = pagesInBrowser();
let feed: LiveFeed;
let server: RunningServer;
let page: Page;

const strip = () => page.getByRole('region', { name: 'Alarms' });

beforeEach(async () => {
  feed = new LiveFeed({ mode: 'live' });
  for (const event of [...openingEvents('2026-03-14T09:30:00.000000Z'), ...eventsBetween(0, NOW_NS), ...watchEventsAt(NOW_NS)])
    feed.accept(event);
  server = await startServer({ feed, port: 0, pagesDir: pages.folder, nowNs: () => NOW_NS });
  page = await pages.newPage();
});
afterEach(async () => {
  await page.close();
  await server.close();
});

async function openAt(width: number): Promise<void> {
  await page.setViewportSize({ width, height: 900 });
  await page.goto(server.url);
  await page.getByText('Connected', { exact: true }).waitFor();
}

/** Set POSTERN_SCREENSHOTS to a folder to look at the page. */
async function shoot(name: string): Promise<void> {
  const folder = process.env.POSTERN_SCREENSHOTS;
  if (folder !== undefined) await page.screenshot({ path: `${folder}/${name}.png` });
}

it.each([390, 1280])('shows it at %i pixels while it lasts, its hole afterwards, and nothing where nothing was lost', async (width) => {
  await openAt(width);
  feed.tellRecording(WAITING);
  await strip().getByText('NOT RECORDING.').waitFor();
  expect(await strip().textContent()).toMatch(/no space left on device.*17 MB wait in memory, 25 % of its room. Nothing is lost yet/s);
  await page.getByRole('alert').getByText('Alarm: not recording.').waitFor();
  await shoot(`waiting-${width}`);
  expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate<axe.AxeResults>("axe.run('.alarms')");
  expect(violations.map(({ id }) => id)).toEqual([]);
  const more = strip().getByRole('button', { name: 'More of: NOT RECORDING.' });
  expect(await more.isVisible()).toBe(width < 700);
  if (width < 700) {
    // Reached by a finger at the strip's edge, and then all of it can be read.
    const box = await more.boundingBox();
    expect((box?.x ?? 0) + (box?.width ?? 0)).toBeLessThanOrEqual(width);
    await more.click();
    await shoot(`unfolded-${width}`);
  }
  feed.tellRecording({ ...WAITING, waitingBytes: WAITING.waitingBytesMax, lost: LOST });
  await strip()
    .getByText(/4711 records are lost, from 09:30:13 to 09:30:14 UTC, of gate-board, host/)
    .waitFor();
  await shoot(`losing-${width}`);
  feed.tellRecording({ ...OVER, lost: LOST });
  await strip().getByText('The recording has a hole.').waitFor();
  expect(await strip().textContent()).not.toContain('NOT RECORDING');
  await shoot(`hole-${width}`);
  feed.tellRecording(OVER);
  await strip().waitFor({ state: 'detached' });
});

it('is told to a page that comes later', async () => {
  feed.tellRecording(WAITING);
  await openAt(1280);
  await strip().getByText('NOT RECORDING.').waitFor();
});
