/** A replay on the live page: moved about in by hand and by keyboard, and both rig files' results beside each other. */
import { join } from 'node:path';
import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { scratchFolder } from '../support/command.ts';
import { pagesInBrowser } from '../support/pages-in-browser.ts';
import { startReplayHost } from '../support/replay-host.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const WIDE = { width: 1280, height: 900 };
const NARROW = { width: 390, height: 844 };
/** A tape that was read one millimetre short. */
const CORRECTED = { fileName: 'corrected.yaml', text: HERON_YAML.replace('position: 2.5000 m', 'position: 2.5010 m') };

const scratch = scratchFolder();
const path = join(scratch.path, 'session.mcap');
let host: Awaited<ReturnType<typeof startReplayHost>>;
let page: Page;
const pages = pagesInBrowser(WIDE);
const { complaints } = pages;

beforeAll(async () => {
  await writeVirtualJournal(path, { seed: 8, shots: 2 });
});
afterAll(() => scratch.remove());
beforeEach(async () => {
  host = await startReplayHost(path, pages.folder, CORRECTED);
  page = await pages.newPage();
  await page.setViewportSize(WIDE);
});
afterEach(async () => {
  await page.close();
  await host.close();
});

const bar = () => page.getByRole('region', { name: 'Replay' });
const button = (name: string) => bar().getByRole('button', { name, exact: true });

test('is stepped from shot to shot, and gone back in, where what is still to come is not known', async () => {
  await page.goto(`${host.url}#token=${host.token}`);
  await page.getByText('No shot in this session yet.').waitFor();
  // The key is not left where others could read it.
  expect(page.url()).not.toContain(host.token);
  await button('Next shot').click();
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  await button('Next shot').click();
  await page.getByRole('heading', { name: 'Shot 2', exact: true }).waitFor();
  await button('Next shot').click();
  await bar().getByText('There is no later shot in this session.').waitFor();
  await button('Previous shot').click();
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  await page.getByRole('link', { name: 'Show shot 2' }).waitFor({ state: 'detached' });
  // Nobody can write into a replay, and the page does not offer it.
  expect(await page.getByRole('button', { name: /acknowledge|tick/i }).count()).toBe(0);
  expect(complaints).toEqual([]);
});

test('is played, paused and moved by keyboard alone', async () => {
  await page.goto(`${host.url}#token=${host.token}`);
  const line = bar().getByRole('slider', { name: 'Moment of the session' });
  await line.focus();
  await page.keyboard.press('End');
  await page.getByRole('heading', { name: 'Shot 2', exact: true }).waitFor();
  expect(await line.getAttribute('aria-valuetext')).toMatch(/^00:00:\d\d of 00:00:\d\d$/);
  await page.keyboard.press('Home');
  await page.getByText('No shot in this session yet.').waitFor();
  await bar().getByLabel('Speed').focus();
  await bar().getByLabel('Speed').selectOption('max');
  await button('Play').focus();
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Shot 2', exact: true }).waitFor();
  await button('Play').waitFor();
  await bar().getByLabel('Go to').selectOption({ index: 1 });
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  expect(complaints).toEqual([]);
});

test('shows both results of a shot, and says which is which', async () => {
  await page.goto(`${host.url}#token=${host.token}`);
  await button('Next shot').click();
  const panel = page.getByRole('region', { name: 'Recorded and corrected' });
  await panel.getByText(/All else on this page is under the corrected rig file corrected\.yaml; .* recorded under heron\.yaml/).waitFor();
  const rows = panel.getByRole('row');
  await rows.filter({ hasText: 'pair B' }).waitFor();
  expect(await rows.first().getByRole('columnheader').allTextContents()).toEqual([
    'Result',
    'Recorded: heron.yaml',
    'Corrected: corrected.yaml',
    'Corrected less recorded',
  ]);
  // One metre was 1.001 m: pair A is faster by one in a thousand, and pair B as it was.
  const cells = await rows.filter({ hasText: 'pair A' }).getByRole('cell').allTextContents();
  const [recorded = 0, corrected = 0, difference = 0] = cells.map((text) => Number(/^[+-]?[\d.]+/.exec(text)?.[0]));
  expect(corrected / recorded).toBeCloseTo(1.001, 4);
  expect(difference).toBeCloseTo(corrected - recorded, 1);
  expect((await rows.filter({ hasText: 'pair B' }).getByRole('cell').allTextContents())[2]).toBe('none');
});

test('without its key may only look; with it all can be reached at 390 px and 1280 px, and axe finds nothing', {
  timeout: 90_000,
}, async () => {
  await page.goto(host.url);
  await bar().getByText('This page may only look.').waitFor();
  expect(await bar().getByRole('button').count()).toBe(0);
  expect(await bar().getByRole('slider').isDisabled()).toBe(true);
  for (const size of [NARROW, WIDE]) {
    await page.setViewportSize(size);
    await page.goto(`${host.url}?${size.width}#token=${host.token}`);
    await button('Next shot').click();
    await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
    const overflow = await page.evaluate<number>('document.documentElement.scrollWidth - innerWidth');
    expect(overflow, `at ${size.width} px`).toBe(0);
    for (const target of await bar().locator('button, select, input').all()) {
      const box = await target.boundingBox();
      expect(Math.min(box?.width ?? 0, box?.height ?? 0)).toBeGreaterThanOrEqual(44);
    }
    await page.evaluate(axe.source);
    const found = await page.evaluate<axe.AxeResults>("axe.run('.replay-bar, .rig-comparison')");
    expect(found.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`)).toEqual([]);
    await host.player.seek(0);
    await page.getByText('No shot in this session yet.').waitFor();
  }
});
