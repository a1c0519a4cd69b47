/** How the page lies on screens: nothing jumps, all of it fits, and everybody can use it. */
import axe from 'axe-core';
import { beforeEach, describe, expect, it } from 'vitest';
import { crewDesk, NARROW, NARROWEST, NOW_NS, WIDE } from '../support/crew-desk.ts';
import { AIR_PA } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { fillAt, healthEvent, limitEvent, measured } from '../support/fake-watches.ts';

const desk = crewDesk();

it.each([WIDE, NARROW])('moves nothing at $width px while the numbers of a fill change', async (viewport) => {
  await desk.openPage();
  await desk.page.setViewportSize(viewport);
  const at = async (ns: number) => {
    desk.tell({ ...fillAt(ns), atNs: NOW_NS, phaseSinceNs: NOW_NS - ns });
    await desk.page
      .locator('.fill-panel .phase')
      .getByText(`for ${(ns / 1e9).toFixed(1)} s`)
      .waitFor();
    return desk.page.evaluate<number[]>(
      `[...document.querySelectorAll('.panel')].map((panel) => panel.getBoundingClientRect().top + scrollY)`,
    );
  };
  const before = await at(2e9);
  expect(before.length).toBeGreaterThan(8);
  for (const ns of [3e9, 5e9, 7e9]) expect(await at(ns)).toEqual(before);
});

it.each([WIDE, NARROW, NARROWEST])('moves nothing at $width px while a vessel at ambient reads about zero', async (viewport) => {
  await desk.openPage();
  await desk.page.setViewportSize(viewport);
  const at = async (overPa: number, ratePaPerS: number) => {
    desk.tell({
      type: 'fill',
      atNs: NOW_NS,
      channel: 'reservoirPressure',
      phase: 'empty',
      phaseSinceNs: NOW_NS - 5e9,
      pressurePa: measured(AIR_PA + overPa, 7_600),
      bandPa: 20_000,
      ratePaPerS: measured(ratePaPerS, 2.5),
      words: 'At ambient.',
    });
    await desk.page
      .locator('.fill-panel .facts')
      .getByText(`${ratePaPerS < 0 ? '−' : '+'}${Math.abs(ratePaPerS).toFixed(1)} ± 5.0`)
      .waitFor();
    return desk.page.evaluate<number[]>(
      `[...document.querySelectorAll('.panel')].map((panel) => panel.getBoundingClientRect().top + scrollY)`,
    );
  };
  const before = await at(3_000, 0.4);
  expect(await at(-3_000, -20.7)).toEqual(before);
  expect(await desk.page.locator('.reading.reservoir .number').first().textContent()).toBe('−0.003');
});

it('has HOLD, the newest shot, fill, vacuum and both pressures on a first screen of 1280 × 900', async () => {
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
  // Nothing to cry out over.
  desk.tell({ type: 'link', source: 'gauge', change: 'running', path: './wires/gauge', detail: '', atNs: NOW_NS });
  await desk.openPage();
  await desk.page.getByRole('region', { name: 'Newest shot: 1' }).waitFor();
  for (const name of ['.verdict', '.newest', '.fill-panel', '.vacuum-panel', '.traces']) {
    const box = await desk.page.locator(name).boundingBox();
    expect((box?.y ?? Number.NaN) + (box?.height ?? Number.NaN), name).toBeLessThanOrEqual(WIDE.height);
  }
});

it('brings HOLD near the top of a phone, with the rest of its head folded away and within reach', async () => {
  await desk.openPage();
  await desk.page.setViewportSize(NARROW);
  desk.tell({ type: 'link', source: 'gauge', change: 'running', path: './wires/gauge', detail: '', atNs: NOW_NS });
  await desk.page.locator('.alarm').waitFor({ state: 'detached' });
  expect((await desk.sign().boundingBox())?.y).toBeLessThan(180);
  await desk.page.getByRole('button', { name: 'Menu' }).click();
  await desk.page.getByRole('radio', { name: 'US' }).check();
  await desk.page.getByRole('link', { name: 'Boards' }).click();
  await desk.page.getByRole('link', { name: 'Boards' }).waitFor({ state: 'hidden' });
  const boardsAreInView = "document.querySelector('#boards').getBoundingClientRect().top < innerHeight";
  await expect.poll(() => desk.page.evaluate<boolean>(boardsAreInView), { timeout: 30_000 }).toBe(true);
});

it('keeps the longest word of the channel table in one piece at 360 px', async () => {
  await desk.openPage();
  await desk.page.setViewportSize(NARROWEST);
  desk.tell(healthEvent(NOW_NS, 'barrelPressure', 'disconnected'));
  const word = desk.page.locator('.channel-table').getByText('DISCONNECTED', { exact: true });
  await word.waitFor();
  const lines = await word.evaluate((element) => element.getClientRects().length);
  expect(lines).toBe(1);
  const { right, edge } = await desk.page.evaluate<{ right: number; edge: number }>(
    `({ right: document.querySelector('.is-unfit span').getBoundingClientRect().right, edge: document.querySelector('.channel-table').getBoundingClientRect().right })`,
  );
  expect(right).toBeLessThanOrEqual(edge + 1);
});

it('draws the target to the scale that it says', async () => {
  for (const number of [1, 2]) desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number }) });
  await desk.openPage();
  for (const [index, rightM] of [0.012, 0.3].entries()) {
    const shotId = `cs-2026-03-14-a-00${index + 1}`;
    desk.tell(...desk.crew.take({ act: 'impact', shotId, at: { rightM, upM: 0 }, who: 'Wren' }, NOW_NS));
    await desk.page.locator('.impact').nth(index).waitFor();
    const half = Number(/\+(\d+) mm/.exec((await desk.page.locator('.target-drawing svg').textContent()) ?? '')?.[1]);
    const of = async (selector: string, name: string) => Number(await desk.page.locator(selector).last().getAttribute(name));
    const halfWidth = (await of('.plane', 'width')) / 2;
    expect(((await of('.impact circle', 'cx')) - 150) / halfWidth).toBeCloseTo((rightM * 1000) / half, 6);
    expect((await of('.ball', 'r')) / halfWidth).toBeCloseTo(29.9 / half, 6);
  }
});

describe('with everything in sight', () => {
  beforeEach(async () => {
    desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
    desk.tell(
      limitEvent(NOW_NS, 'active'),
      limitEvent(NOW_NS, 'latched', { id: 'near-maximum', severity: 'warning', words: 'Close to it.' }),
    );
    desk.tell(healthEvent(NOW_NS, 'barrelPressure', 'disconnected'));
    desk.tell(...desk.crew.take({ act: 'impact', shotId: 'cs-2026-03-14-a-001', at: { rightM: 0.012, upM: -0.03 }, who: 'Wren' }, NOW_NS));
    desk.tell(fillAt(10e9));
  });

  it.each([
    ['wide and light', WIDE, 'light'],
    ['wide and dark', WIDE, 'dark'],
    ['narrow and light', NARROW, 'light'],
    ['narrow and dark', NARROW, 'dark'],
  ] as const)('has no accessibility violation, %s, in the page and in a step', async (_name, viewport, colorScheme) => {
    await desk.openAs('Wren');
    await desk.page.setViewportSize(viewport);
    await desk.page.emulateMedia({ colorScheme });
    for (const summary of await desk.page.locator('summary').all()) await summary.click();
    await desk.page.evaluate(axe.source);
    const look = async () => {
      const { violations, passes } = await desk.page.evaluate<axe.AxeResults>('axe.run(document)');
      expect(passes.length).toBeGreaterThan(20);
      expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`)).toEqual([]);
    };
    await look();
    await desk.page.getByRole('button', { name: 'Set right: Air pressure' }).filter({ visible: true }).click();
    await desk.page.getByRole('dialog').getByRole('button', { name: 'Two points' }).click();
    await look();
  });

  it.each([WIDE, NARROW, NARROWEST])('fits $width px, with targets of 44 px', async (viewport) => {
    await desk.openAs('Wren');
    await desk.page.setViewportSize(viewport);
    expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(viewport.width);
    const small: string[] = [];
    for (const target of await desk.page
      .locator('button, a, input[type=text], textarea, select, summary')
      .filter({ visible: true })
      .all()) {
      const box = await target.boundingBox();
      if (!box || box.width < 44 || box.height < 44) small.push(`${await target.textContent()} ${JSON.stringify(box)}`);
    }
    expect(small).toEqual([]);
  });

  it.each([NARROW, NARROWEST])('is no wider than $width px even before its drawings know that the page was turned', async (viewport) => {
    await desk.openPage(
      '',
      `globalThis.ResizeObserver = class extends ResizeObserver {
        constructor(tell) { super((...sizes) => globalThis.turned || tell(...sizes)); }
      };`,
    );
    await desk.page.locator('.drawing svg').first().waitFor();
    const widths = () => desk.page.evaluate<number[]>(`[...document.querySelectorAll('.plot canvas')].map((canvas) => canvas.width)`);
    // One column, as wide as the page.
    await desk.page.setViewportSize({ width: 960, height: 740 });
    await expect.poll(async () => Math.min(...(await widths()))).toBeGreaterThan(viewport.width);
    const before = await widths();
    await desk.page.evaluate('globalThis.turned = true');
    await desk.page.setViewportSize(viewport);
    expect(await widths()).toEqual(before);
    expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth')).toBe(viewport.width);
  });
});
