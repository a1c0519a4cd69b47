/** What holds for every page, whichever there are: it fits, a glove can hit it, its numbers are read in the sun, the keyboard gets everywhere, and nothing comes from elsewhere. */
import { expect, it } from 'vitest';
import { PAGE_PATHS } from '../../host/serve/page-paths.ts';
import { crewDesk, NOW_NS } from '../support/crew-desk.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { contrastBelow, smallTargets, spilled, walkByKeyboard } from '../support/page-measures.ts';

const desk = crewDesk();
const PATHS = ['/', ...PAGE_PATHS];
/** What a crew reads from where they stand. */
const NUMBERS = ['.number', '.verdict strong', '.newest-speed', '.reading .symbol', '.figures b', '.figures strong', 'td.figures', '.loud'];
const BIG = ['.number', '.verdict strong', 'h1', 'h2'];
const RATIO = 7;

async function openCrewPage(): Promise<void> {
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
  await desk.openAs('Ane');
}

/** Without leaving the host: all that the page knows stays. */
async function goTo(path: string): Promise<void> {
  await desk.page.getByRole('navigation', { name: 'Pages' }).locator(`a[href="${path}"]`).click();
  await desk.page
    .locator('[aria-current=page]')
    .and(desk.page.locator(`[href="${path}"]`))
    .waitFor();
  await desk.page.getByText('Fetching this page…').waitFor({ state: 'detached' });
}

it('fits every width, shows the link of the page that it is, and has no target that a glove would miss', { timeout: 90_000 }, async () => {
  await openCrewPage();
  for (const width of [360, 390, 1000, 1280, 2560]) {
    await desk.page.setViewportSize({ width, height: 900 });
    for (const path of PATHS) {
      await goTo(path);
      const where = `${path} at ${width} px`;
      expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth'), where).toBeLessThanOrEqual(0);
      const [row, link] = await Promise.all([
        desk.page.locator('.page-nav-row').boundingBox(),
        desk.page.locator('[aria-current=page]').boundingBox(),
      ]);
      expect(link?.x, where).toBeGreaterThanOrEqual((row?.x ?? Number.NaN) - 1);
      expect((link?.x ?? 0) + (link?.width ?? 0), where).toBeLessThanOrEqual((row?.x ?? 0) + (row?.width ?? 0) + 1);
      expect(await smallTargets(desk.page), where).toEqual([]);
      expect(await spilled(desk.page, BIG), where).toEqual([]);
    }
  }
  expect(desk.complaints).toEqual([]);
});

it.each(['light', 'dark'] as const)('has its numbers at 7 to 1 and more, %s', { timeout: 60_000 }, async (theme) => {
  await openCrewPage();
  await desk.page.emulateMedia({ colorScheme: theme });
  let measured = 0;
  for (const path of PATHS) {
    await goTo(path);
    const found = await contrastBelow(desk.page, NUMBERS, RATIO);
    expect(found.below, path).toEqual([]);
    measured += found.measured;
    if (path === '/wall' || path === '/' || path === '/shot') expect(found.measured, path).toBeGreaterThan(3);
  }
  expect(measured).toBeGreaterThan(40);
});

it('would find numbers that are too pale or too large for their place, targets that are too small and a control that the keyboard misses', async () => {
  await openCrewPage();
  await desk.page.evaluate(`
    document.documentElement.style.setProperty('--ink', '#808080');
    const [first, second] = document.querySelectorAll('.hold-panel button');
    Object.assign(first.style, { minHeight: '20px', height: '20px' });
    second.tabIndex = -1;
    document.querySelector('.verdict strong').style.fontSize = '60rem';
  `);
  expect((await contrastBelow(desk.page, NUMBERS, RATIO)).below).not.toEqual([]);
  expect(await smallTargets(desk.page)).toHaveLength(1);
  expect(await spilled(desk.page, BIG)).toHaveLength(1);
  expect((await walkByKeyboard(desk.page)).missed).toHaveLength(1);
});

it('is gone through by keyboard alone, which shows where it is', { timeout: 90_000 }, async () => {
  await openCrewPage();
  for (const path of PATHS) {
    await goTo(path);
    const { missed, unseen, steps } = await walkByKeyboard(desk.page);
    expect(missed, path).toEqual([]);
    expect(unseen, path).toEqual([]);
    expect(steps, path).toBeGreaterThan(PATHS.length);
  }
});

it('asks nobody but its host, on any page', async () => {
  const asked = new Set<string>();
  await desk.newPage();
  desk.page.on('request', (request) => asked.add(new URL(request.url()).origin));
  for (const path of PATHS) {
    await desk.page.goto(new URL(path, desk.server.url).href);
    await desk.page.getByText('Connected', { exact: true }).waitFor();
    await desk.page.getByText('Fetching this page…').waitFor({ state: 'detached' });
  }
  expect([...asked]).toEqual([new URL(desk.server.url).origin]);
});
