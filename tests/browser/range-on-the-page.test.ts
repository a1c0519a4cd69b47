/** The whole way in a browser: simulated range on a real pseudo-terminal, host, page. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openDataFolder } from '../../host/cli/data-folder.ts';
import { type LiveSession, openLiveSession } from '../../host/cli/live-session.ts';
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

test('units are changed with one press and stay changed after a reload', { timeout: 60_000 }, async () => {
  const page = await browser.context.newPage();
  await page.goto(session.url);
  session.start();
  await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  await page.getByRole('radio', { name: 'US' }).check();
  await page.locator('.shot').getByText('ft/s').first().waitFor();
  await page.reload();
  await page.locator('.shot').getByText('ft/s').first().waitFor();
});
