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

/** The row slides when it has been laid out. */
async function isLinkInRow(): Promise<boolean> {
  const [row, link] = await Promise.all(
    ['.page-nav-row', '.page-nav [aria-current=page]'].map((each) => desk.page.locator(each).boundingBox()),
  );
  if (!row || !link) return false;
  return link.x >= row.x - 1 && link.x + link.width <= row.x + row.width + 1;
}

it('fits every width, shows the link of the page that it is, and has no target that a glove would miss', { timeout: 90_000 }, async () => {
  await openCrewPage();
  for (const path of PATHS) {
    await goTo(path);
    for (const width of [320, 360, 390, 1000, 1280, 2560]) {
      await desk.page.setViewportSize({ width, height: 900 });
      const where = `${path} at ${width} px`;
      expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth'), where).toBeLessThanOrEqual(0);
      await expect.poll(isLinkInRow, { message: where }).toBe(true);
      expect(await smallTargets(desk.page), where).toEqual([]);
      expect(await spilled(desk.page, BIG), where).toEqual([]);
    }
  }
  expect(desk.complaints).toEqual([]);
});

it('has its numbers at 7 to 1 and more, light and dark', { timeout: 60_000 }, async () => {
  await openCrewPage();
  let measured = 0;
  for (const path of PATHS) {
    await goTo(path);
    for (const colorScheme of ['light', 'dark'] as const) {
      await desk.page.emulateMedia({ colorScheme });
      await desk.page.locator(`html[data-theme=${colorScheme}]`).waitFor();
      const found = await contrastBelow(desk.page, NUMBERS, RATIO);
      expect(found.below, `${path} ${colorScheme}`).toEqual([]);
      measured += found.measured;
      if (path === '/wall' || path === '/' || path === '/shot') expect(found.measured, path).toBeGreaterThan(3);
    }
  }
  expect(measured).toBeGreaterThan(80);
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
  await desk.page.goto(desk.server.url);
  await desk.page.getByText('Connected', { exact: true }).waitFor();
  for (const path of PATHS) await goTo(path);
  expect([...asked]).toEqual([new URL(desk.server.url).origin]);
});
