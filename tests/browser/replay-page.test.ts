/** The replay's own page: all that happened over one time line, gone to by hand and by keyboard, and the moment in its address. */
import { join } from 'node:path';
import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { scratchFolder } from '../support/command.ts';
import { smallTargets } from '../support/page-measures.ts';
import { pagesInBrowser } from '../support/pages-in-browser.ts';
import { startReplayHost } from '../support/replay-host.ts';
import { crewActs } from '../support/session-acts.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const scratch = scratchFolder();
const path = join(scratch.path, 'session.mcap');
let host: Awaited<ReturnType<typeof startReplayHost>>;
let page: Page;
const pages = pagesInBrowser();
const { complaints } = pages;

beforeAll(async () => {
  await writeVirtualJournal(path, { seed: 8, shots: 2, acts: crewActs('virtual', 5.2) });
  host = await startReplayHost(path, pages.folder);
});
afterAll(async () => {
  await host?.close();
  scratch.remove();
});
beforeEach(async () => {
  host.player.pause();
  await host.player.seek(0);
  page = await pages.newPage();
});
afterEach(async () => {
  await page.close();
  expect(complaints).toEqual([]);
});

const open = (search = '', key = `#token=${host.token}`) => page.goto(`${host.url}replay${search}${key}`);
const panel = () => page.getByRole('region', { name: 'Replay' });
const told = () => page.getByRole('region', { name: 'What happened' });
const rows = () => told().getByRole('listitem');
const show = (what: string) => told().getByLabel('Show').selectOption(what);
const nowS = () => host.player.nowNs / 1e9;

test('lists what happened by its kind, as it was told, and goes there', async () => {
  await open();
  await panel().getByText('Alarms').waitFor();
  // Above every other page stands a bar instead.
  expect(await panel().count()).toBe(1);
  await show('notes');
  await rows().first().waitFor();
  expect((await rows().locator('.told-text').allTextContents()).sort()).toEqual(['Note by Bo: film “B”; changed', 'Note: wind has gone']);
  await show('shots');
  expect(await rows().locator('.told-text').allTextContents()).toEqual(['Shot 1 fired.', 'Shot 2 fired.']);
  await rows()
    .getByRole('button', { name: /Shot 2 fired/ })
    .click();
  await page.getByRole('heading', { name: 'Shot 2', exact: true }).waitFor();
  await show('crew');
  await rows()
    .getByRole('button', { name: /left out by Bo: film torn/ })
    .click();
  await expect.poll(nowS).toBeCloseTo(5.22, 1);
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
});

test('has the moment in its address, which is opened again in place and by another page', async () => {
  await open();
  await panel().getByRole('button', { name: 'Next shot' }).click();
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  const at = nowS();
  await expect.poll(() => page.url()).toMatch(/\?session=virtual&at=00:00:0\d\.\d{3}$/);
  await page.reload();
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  const address = page.url();
  expect(nowS()).toBeCloseTo(at, 2);
  await host.player.seek(0);
  await page.getByText('No shot in this session yet.').waitFor();
  await expect.poll(() => page.url()).toMatch(/at=00:00:00\.000$/);
  await page.goto(`${address}#token=${host.token}`);
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  expect(nowS()).toBeCloseTo(at, 2);
  // Gone back to later it shows where the replay is, and does not take it away from there.
  await page.getByRole('link', { name: 'Rig', exact: true }).click();
  await page.getByRole('region', { name: 'Hold points' }).waitFor();
  await host.player.seek(0);
  await page.goBack();
  await panel().waitFor();
  await expect.poll(() => page.url()).toMatch(/at=00:00:00\.000$/);
  expect(nowS()).toBe(0);
});

test.each([
  ['of another session', '?session=elsewhere&at=00:00:05', true, /of session elsewhere, and this is a replay of virtual/],
  ['without the key to move it', '?at=00:00:05', false, /The address is of 00:00:05\. This page may only look/],
  ['that is none', '?at=noon&session=virtual', true, undefined],
])('an address %s moves nothing, and the page says so', async (_, search, hasKey, words) => {
  // The key of the page before is the tab's.
  await open(search, hasKey ? undefined : '');
  if (words) await panel().getByText(words).waitFor();
  else await panel().getByText('Alarms').waitFor();
  expect(host.player.headedNs).toBe(0);
  expect(await panel().getByRole('slider').isDisabled()).toBe(!hasKey);
});

test('is moved by keyboard along its time line', async () => {
  await open();
  const line = panel().getByRole('slider', { name: 'Moment of the session' });
  await line.focus();
  await page.keyboard.press('ArrowRight');
  await expect.poll(nowS).toBe(1);
  await page.keyboard.press('End');
  await page.getByRole('heading', { name: 'Shot 2', exact: true }).waitFor();
  await page.keyboard.press('Home');
  await page.getByText('No shot in this session yet.').waitFor();
});

test('fits every screen, its targets are large enough, and axe finds nothing', { timeout: 60_000 }, async () => {
  await open();
  await panel().getByRole('button', { name: 'Next shot' }).click();
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  await rows().first().waitFor();
  for (const width of [360, 390, 1280, 2560]) {
    await page.setViewportSize({ width, height: 900 });
    expect(await page.evaluate<number>('document.documentElement.scrollWidth - innerWidth'), `at ${width} px`).toBe(0);
    expect(await smallTargets(page), `at ${width} px`).toEqual([]);
  }
  await page.setViewportSize({ width: 390, height: 844 });
  await page.evaluate(axe.source);
  const found = await page.evaluate<axe.AxeResults>("axe.run('.replay-panel, .replay-events')");
  expect(found.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`)).toEqual([]);
});
