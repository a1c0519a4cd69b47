/**
 * `npm run pictures`: one picture of each page, on a phone and on a desk, of a simulated session, into docs/img/pages/.
 * Small enough to be kept: each under 100 kB, all under 2 MB, else it ends with 1. `--dark`, `--png` and `--out DIR` for looking.
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { openBrowser } from '../support/browser.ts';
import { buildPages } from '../support/built-pages.ts';
import { CREW_TOKEN, servePicturedSession } from './pages/pictured-session.ts';

const WIDTHS = [390, 1280] as const;
/** A long page is shown as far as this, in screens of a phone or a desk. */
const SCREENS_MAX = { 390: 2.2, 1280: 1.2 } as const;
const SCREEN_PX: Readonly<Record<(typeof WIDTHS)[number], number>> = { 390: 844, 1280: 900 };
const EACH_BYTES_MAX = 100e3;
const ALL_BYTES_MAX = 2e6;
const QUALITIES = [80, 65, 50, 35];

const optionOf = (name: string): string | undefined =>
  process.argv.includes(name) ? process.argv[process.argv.indexOf(name) + 1] : undefined;
const isToLookAt = process.argv.includes('--png');
const isDark = process.argv.includes('--dark');
const out = optionOf('--out') ?? fileURLToPath(new URL('../../docs/img/pages', import.meta.url));

/** As fine as the bound allows. */
async function picture(page: Page, width: (typeof WIDTHS)[number], toLookAt: string): Promise<Buffer> {
  const line = await page.context().newCDPSession(page);
  const heightPx = await page.evaluate<number>('document.documentElement.scrollHeight');
  const clip = { x: 0, y: 0, width, height: Math.min(heightPx, Math.round(SCREENS_MAX[width] * SCREEN_PX[width])) };
  if (isToLookAt) await page.screenshot({ path: toLookAt, fullPage: true });
  let bytes = Buffer.alloc(0);
  for (const quality of QUALITIES) {
    const shot = { format: 'webp', quality, clip: { ...clip, scale: 1 }, captureBeyondViewport: true } as const;
    bytes = Buffer.from((await line.send('Page.captureScreenshot', shot)).data, 'base64');
    if (bytes.length < EACH_BYTES_MAX) break;
  }
  await line.detach();
  return bytes;
}

/** All that is asked for has come and is drawn. */
async function settled(page: Page): Promise<void> {
  await page.getByRole('main').getByRole('heading').first().waitFor();
  await page.waitForLoadState('networkidle');
  await page.evaluate(`document.fonts.ready.then(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))`);
}

const scratch = mkdtempSync(join(tmpdir(), 'postern-pictures-'));
const pages = await buildPages();
const shown = await servePicturedSession(scratch, pages.folder);
const browser = await openBrowser();
let all = 0;
let tooLarge = 0;
try {
  mkdirSync(out, { recursive: true });
  const page = await browser.context.newPage();
  await page.clock.setFixedTime(shown.nowUtcMs);
  await page.emulateMedia({ colorScheme: isDark ? 'dark' : 'light', reducedMotion: 'reduce' });
  await page.goto(`${shown.server.url}#token=${CREW_TOKEN}`);
  await page.getByLabel('Your name').fill('Wren');
  await page.getByRole('button', { name: 'Use it' }).click();
  await page.getByRole('radio', { name: '10 min', exact: true }).check();
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: SCREEN_PX[width] });
    for (const link of await page.getByRole('navigation', { name: 'Pages' }).getByRole('link').all()) {
      const name = ((await link.getAttribute('href')) ?? '/').slice(1) || 'rig';
      await link.click();
      await settled(page);
      // Its answer is a computation of the host's.
      if (name === 'map' || name === 'drag') await page.locator('main svg').first().waitFor();
      const bytes = await picture(page, width, join(out, `${name}-${width}.png`));
      writeFileSync(join(out, `${name}-${width}.webp`), bytes);
      all += bytes.length;
      if (bytes.length >= EACH_BYTES_MAX) tooLarge += 1;
      console.log(`${name}-${width}.webp ${(bytes.length / 1e3).toFixed(0)} kB`);
    }
  }
  console.log(`${(all / 1e3).toFixed(0)} kB in ${out}`);
  process.exitCode = tooLarge > 0 || all >= ALL_BYTES_MAX ? 1 : 0;
} finally {
  await browser.close();
  await shown.close();
  await pages.remove();
  rmSync(scratch, { recursive: true, force: true });
}
