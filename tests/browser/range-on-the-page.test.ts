/** The whole way in a browser: simulated range on a real pseudo-terminal, host, page. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openDataFolder } from '../../host/cli/data/data-folder.ts';
import { type LiveSession, openLiveSession } from '../../host/cli/live/live-session.ts';
import { report } from '../../host/cli/report/report.ts';
import { formatParts } from '../../host/units/index.ts';
import type { Shot } from '../../protocol/index.ts';
import { openBrowser, type TestBrowser } from '../support/browser.ts';
import { scratchFolder } from '../support/command.ts';
import { HERON_YAML } from '../support/virtual-range.ts';
import { openWiredRange, type WiredRange } from '../support/wired-range.ts';

let scratch: ReturnType<typeof scratchFolder>;
let range: WiredRange;
let session: LiveSession;
let browser: TestBrowser;

beforeEach(async () => {
  scratch = scratchFolder();
  const rigFile = join(scratch.path, 'heron.yaml');
  writeFileSync(rigFile, HERON_YAML);
  range = await openWiredRange(join(scratch.path, 'wires'), 7);
  session = await openLiveSession({ rigFile, folder: openDataFolder(join(scratch.path, 'data')), port: 0, onEvent: () => undefined });
  browser = await openBrowser();
}, 60_000);

afterEach(async () => {
  await browser.close();
  await session.close();
  await range.close();
  scratch.remove();
}, 60_000);

const shotsServed = async (): Promise<readonly Shot[]> =>
  (await (await fetch(new URL('api/shots', session.url))).json()) as readonly Shot[];

test('a shot arrives on the page, its number equal to the one served; a pulled wire is told, and the next shot comes', {
  timeout: 120_000,
}, async () => {
  const page = await browser.context.newPage();
  const troubles: string[] = [];
  page.on('pageerror', (error) => troubles.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') troubles.push(message.text());
  });
  await page.goto(session.url);
  session.start();
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  const [served] = (await shotsServed()).slice(-1);
  const muzzle = served?.muzzleVelocityMps;
  if (!muzzle) throw new Error('no velocity served');
  // Held to this shot by its address, whatever is fired meanwhile.
  await page.goto(`${session.url}#shot=${served.id}`);
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  const expected = formatParts(muzzle.value, muzzle.expandedUncertainty, 'velocity', 'SI');
  expect((await page.getByTestId('muzzle').textContent())?.trim()).toBe(expected.value);
  await page.goto(`${session.url}#`);

  await page.getByRole('heading', { name: 'gate-board Running', exact: true }).waitFor();
  const pulledAtMs = performance.now();
  await range.setPlugged('gate-board', false);
  await page
    .getByText(/Link to gate-board lost|LINK LOST/)
    .first()
    .waitFor();
  const toldMs = performance.now() - pulledAtMs;
  console.info(`the page told of the pulled wire after ${toldMs.toFixed(0)} ms`);
  await range.setPlugged('gate-board', true);
  await page.getByRole('heading', { name: 'gate-board Running', exact: true }).waitFor();
  await page.getByRole('heading', { name: /^Shot [3-9]$/ }).waitFor({ timeout: 60_000 });
  expect(session.shots.map((shot) => shot.number)).toEqual(session.shots.map((_, i) => i + 1));
  expect(troubles).toEqual([]);
});

/** As long as a name may be, and none that becomes markup. */
const LONG_NAME = '<b>Dunnock</b> of the farther gate, here';
const NOTE = '<img src=x onerror="window.__fired=1"> film torn & changed';

async function openAs(page: Page, name: string): Promise<void> {
  await page.goto(`${session.url}#token=${session.listening.doors.crewToken}`);
  await page.getByLabel('Your name').fill(name);
  await page.getByRole('button', { name: 'Use it' }).click();
  await page.getByText(`Acting as ${name}`).waitFor();
}

test('two of the crew see the fill, tick, note and leave out the shot, each what the other did, and the report tells it', {
  timeout: 120_000,
}, async () => {
  const second = await openBrowser({ width: 390, height: 844 });
  try {
    const [wren, dunnock] = [await browser.context.newPage(), await second.context.newPage()];
    await openAs(wren, 'Wren');
    await openAs(dunnock, LONG_NAME);
    // Before anything moves: a firing takes the ticks back, and this range fires every few seconds.
    await wren.getByRole('button', { name: 'Tick: Range clear and the gate shut' }).click();
    const point = dunnock.getByRole('listitem').filter({ hasText: 'Range clear and the gate shut' });
    await point.getByText('done', { exact: true }).waitFor();
    await point.getByText(/Wren/).waitFor();
    session.start();
    const filled = async () => Number(await wren.locator('.reading.reservoir .number').first().textContent());
    await expect.poll(filled, { timeout: 30_000 }).toBeGreaterThan(0.5);

    for (const page of [wren, dunnock]) await page.getByRole('heading', { name: /^Newest shot: \d+$/ }).waitFor();
    await dunnock.getByLabel('Note', { exact: true }).fill(NOTE);
    await dunnock.locator('label', { hasText: 'About' }).locator('select').selectOption({ label: 'shot 1' });
    await dunnock.getByRole('button', { name: 'Write down' }).click();
    await wren.locator('.note-list').getByText(NOTE).waitFor();
    await wren.locator('.note-list').getByText(LONG_NAME).waitFor();
    const overWide = () => dunnock.evaluate<number>('document.documentElement.scrollWidth - innerWidth');
    expect(await overWide()).toBeLessThanOrEqual(0);

    const act = { act: 'exclude', shotId: `${session.sessionId}-001`, excluded: true, reason: 'film torn before the shot', who: 'Wren' };
    const answer = await wren.evaluate<number>(
      `fetch('/api/acts', { method: 'POST', headers: { 'content-type': 'application/json',
        authorization: 'Bearer ${session.listening.doors.crewToken}' }, body: ${JSON.stringify(JSON.stringify(act))} }).then(({ status }) => status)`,
    );
    expect(answer).toBe(200);

    await session.close();
    for (const page of [wren, dunnock]) await page.getByText('Connection to the host lost.').waitFor();
    const file = join(scratch.path, 'report.html');
    await report(session.sessionId, { data: join(scratch.path, 'data'), out: file, units: 'SI' });
    await wren.goto(`file://${file}`);
    const told = await wren.getByRole('main').or(wren.locator('body')).first().textContent();
    for (const words of [NOTE, LONG_NAME, 'film torn before the shot']) expect(told).toContain(words);
    expect(await wren.evaluate('window.__fired')).toBeUndefined();
  } finally {
    await second.close();
  }
});
