import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LiveFeed, type RunningServer, startServer } from '../../host/serve/index.ts';
import { DISPLAY, formatParts } from '../../host/units/index.ts';
import type { PipelineEvent, Shot } from '../../protocol/index.ts';
import { findChromium } from '../support/browser.ts';
import { eventsBetween, openingEvents } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { pagesInBrowser } from '../support/pages-in-browser.ts';

const WIDE = { width: 1280, height: 900 };
const NARROW = { width: 390, height: 844 };

let feed: LiveFeed;
let server: RunningServer;
let page: Page;
/** Session time, moved by hand. */
let nowNs = 0;
const pages = pagesInBrowser(WIDE);
const { complaints } = pages;

function advance(toNs: number): void {
  for (const event of eventsBetween(nowNs, toNs)) feed.accept(event);
  nowNs = toNs;
}

async function serve(port: number): Promise<RunningServer> {
  return startServer({ feed, port, pagesDir: pages.folder, nowNs: () => nowNs });
}

const muzzleShown = () => page.getByTestId('muzzle').textContent();
const shotEvent = (shot: Shot): PipelineEvent => ({ type: 'shot', phase: 'closed', atNs: nowNs, shot });

beforeEach(async () => {
  nowNs = 0;
  feed = new LiveFeed({ mode: 'live' });
  for (const event of openingEvents('2026-03-14T09:30:00.000000Z')) feed.accept(event);
  advance(15e9);
  server = await serve(0);
  page = await pages.newPage();
  await page.goto(server.url);
  await page.getByText('Connected').waitFor();
});

afterEach(async () => {
  await page.close();
  await server.close();
});

it('names the package to install where there is no browser', () => {
  expect(() => findChromium(['/nonexistent'])).toThrow('Debian package `chromium`');
});

describe('the live page', () => {
  it('shows a shot when it comes, with the number that the API gives', async () => {
    await page.getByText('No shot in this session yet.').waitFor();
    feed.accept(shotEvent(fakeShot({ number: 1, muzzleMps: 287.4131, fragment: true, flags: ['edges-rejected'] })));
    await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
    const [listed] = (await (await fetch(`${server.url}api/shots`)).json()) as Shot[];
    const velocity = listed?.muzzleVelocityMps;
    expect(velocity?.value).toBe(287.4131);
    expect(await muzzleShown()).toBe(formatParts(velocity?.value ?? 0, velocity?.expandedUncertainty, 'velocity', 'SI').value);
    expect(Math.abs(Number(await muzzleShown()) - 287.4131)).toBeLessThan(0.005);
    expect(await page.locator('[aria-live=polite]').textContent()).toContain('Shot 1: muzzle velocity 287.41 ± 0.14 m/s');
    expect(await page.getByText('2 rejected: ahead of the projectile').isVisible()).toBe(true);
    expect(await page.getByRole('img', { name: 'Shot 1: reservoir pressure' }).isVisible()).toBe(true);
    expect(complaints).toEqual([]);
  });

  it('calls a shot that was just fired one being measured, not one without a velocity', async () => {
    const { muzzleVelocityMps, mach, ...fired } = fakeShot({ number: 1, flags: ['no-velocity'] });
    feed.accept({ type: 'shot', phase: 'opened', atNs: nowNs, shot: fired });
    const newest = page.getByRole('region', { name: 'Newest shot: 1' });
    await newest.getByText('Measuring…').waitFor();
    expect(await page.locator('.hero .none').textContent()).toBe('measuring…');
    expect(await page.getByText('No velocity').count()).toBe(0);
    // Nor to a page that comes meanwhile.
    await page.reload();
    await newest.getByText('Measuring…').waitFor();
    expect(await page.getByText('No velocity').count()).toBe(0);
    feed.accept(shotEvent(fired));
    await newest.getByText('Flags: No velocity.').waitFor();
    expect(await page.locator('.hero .none').textContent()).toBe('none');
    feed.accept(shotEvent(fakeShot({ number: 2, muzzleMps: 287.4131 })));
    await page.getByRole('region', { name: 'Newest shot: 2' }).getByText('287.41').waitFor();
    expect(complaints).toEqual([]);
  });

  it('draws a pressure that does not move', async () => {
    const moving = fakeShot({ number: 1 });
    // In kilopascals a number whose next neighbour lies further off than the finest step between ticks.
    const traces = moving.traces.map((trace) => ({ ...trace, valuesPa: trace.valuesPa.map(() => 2_159.2) }));
    feed.accept(shotEvent({ ...moving, traces }));
    await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
    feed.accept(shotEvent(fakeShot({ number: 2 })));
    await page.getByRole('heading', { name: 'Shot 2', exact: true }).waitFor();
    expect(complaints).toEqual([]);
  });

  it('shows the pressures, absolute and gauge apart', async () => {
    const reservoir = page.locator('.reading.reservoir');
    const [gauge, absolute] = await reservoir.locator('.number').allInnerTexts();
    expect(await reservoir.locator('.reference').allInnerTexts()).toEqual(['gauge', 'absolute']);
    expect(Number(absolute) - Number(gauge)).toBeCloseTo(0.09834, 2);
    expect(complaints).toEqual([]);
  });

  it('says so when the link to a board is lost, and when it is back', async () => {
    const link = { type: 'link', source: 'gate-board', path: './wires/gate-board' } as const;
    feed.accept({ ...link, atNs: nowNs, change: 'lost', detail: 'the port is gone' });
    await page.getByText('Link to gate-board lost.').waitFor();
    await page.getByRole('alert').getByText('The port is gone. Its readings are old').waitFor();
    await page.getByRole('region', { name: 'Links' }).getByText('LINK LOST').waitFor();
    expect(await page.locator('.lamp').first().textContent()).toContain('unknown');
    feed.accept({ ...link, atNs: nowNs, change: 'opened', detail: '' });
    await page.getByText('Link to gate-board lost.').waitFor({ state: 'detached' });
    await page.locator('.board').getByText('Link up').waitFor();
  });

  it('cries out over lost edges', async () => {
    const wire = eventsBetween(0, 1e9).find((event) => event.type === 'wire');
    if (wire?.type !== 'wire') throw new Error('the stream has counters each second');
    feed.accept({ ...wire, counters: { ...wire.counters, edgesLost: 3 } });
    await page.getByText('3 edges lost on gate-board.').waitFor();
  });

  it('says so when the host is lost, and takes up where it was', async () => {
    const { port } = server;
    await server.close();
    await page.getByText('Connection to the host lost.').waitFor();
    feed.accept(shotEvent(fakeShot({ number: 5, muzzleMps: 401.5 })));
    server = await serve(port);
    expect(server.port).toBe(port);
    await page.getByText('Connected', { exact: true }).waitFor();
    await page.getByRole('heading', { name: 'Shot 5', exact: true }).waitFor();
    expect(await muzzleShown()).toBe('401.50');
  });

  it('says so when the host falls silent without closing, and when it speaks again', async () => {
    let held = false;
    await page.routeWebSocket('**/live', (route) => {
      route.connectToServer().onMessage((message) => {
        if (!held) route.send(message);
      });
    });
    await page.reload();
    await page.getByText('Connected', { exact: true }).waitFor();
    held = true;
    await page.getByText('No word from the host.').waitFor();
    held = false;
    await page.getByText('Connected', { exact: true }).waitFor();
    await page.getByText('No word from the host.').waitFor({ state: 'detached' });
  });

  it('remembers the units', async () => {
    feed.accept(shotEvent(fakeShot({ number: 1, muzzleMps: 304.8 })));
    await page.getByRole('radio', { name: 'US' }).check();
    await page.getByText('1000.00').first().waitFor();
    await page.reload();
    await page.getByText('1000.00').first().waitFor();
    expect(await page.locator('.hero .symbol').textContent()).toBe(DISPLAY.velocity.US.symbol);
    await page.getByRole('radio', { name: 'SI' }).check();
  });

  it('shows an earlier shot on request, by its address, with its traces', async () => {
    for (const number of [1, 2, 3]) feed.accept(shotEvent(fakeShot({ number, muzzleMps: 300 + number })));
    await page.getByRole('link', { name: 'Show shot 1' }).click();
    await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
    expect(page.url()).toContain('#shot=cs-2026-03-14-a-001');
    await page.reload();
    await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
    await page.getByRole('img', { name: 'Shot 1: reservoir pressure' }).waitFor();
    await page.getByRole('button', { name: 'Follow the newest' }).click();
    await page.getByRole('heading', { name: 'Shot 3', exact: true }).waitFor();
    expect(complaints).toEqual([]);
  });

  it.each([
    ['wide and light', WIDE, 'light'],
    ['wide and dark', WIDE, 'dark'],
    ['narrow and light', NARROW, 'light'],
  ] as const)('has no accessibility violation, %s', async (_name, viewport, colorScheme) => {
    await page.setViewportSize(viewport);
    await page.emulateMedia({ colorScheme });
    feed.accept(shotEvent(fakeShot({ number: 1, fragment: true, flags: ['edges-rejected', 'air-stale'] })));
    feed.accept({
      type: 'link',
      atNs: nowNs,
      source: 'gate-board',
      change: 'lost',
      path: './wires/gate-board',
      detail: 'the port is gone',
    });
    await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
    await page.getByText('Link to gate-board lost.').waitFor();
    await page.getByText('Uncertainty budgets').click();
    await page.evaluate(axe.source);
    const { violations, passes } = await page.evaluate<axe.AxeResults>('axe.run(document)');
    // Else it looked at nothing.
    expect(passes.length).toBeGreaterThan(20);
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`)).toEqual([]);
  });

  it.each([WIDE, NARROW])('fits $width px without sideways scrolling, with targets big enough for a gloved finger', async (viewport) => {
    await page.setViewportSize(viewport);
    feed.accept(shotEvent(fakeShot({ number: 1 })));
    await page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
    if (viewport === NARROW) await page.getByRole('button', { name: 'Menu' }).click();
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(viewport.width);
    const targets = await page.locator('button, a, .segmented label, summary').filter({ visible: true }).all();
    expect(targets.length).toBeGreaterThan(9);
    const small: (string | null)[] = [];
    for (const target of targets) {
      const box = await target.boundingBox();
      if (!box || box.width < 44 || box.height < 44) small.push(await target.textContent());
    }
    expect(small).toEqual([]);
  });

  it('fits 390 px without sideways scrolling when everything it shows is old', async () => {
    await page.setViewportSize(NARROW);
    // Time goes on, nothing comes.
    nowNs += 100e9;
    feed.accept({
      type: 'link',
      atNs: nowNs,
      source: 'gate-board',
      change: 'lost',
      path: 'wires/gate-board',
      detail: 'the port went away',
    });
    await page.getByText('OLD').last().waitFor();
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(NARROW.width);
  });

  it.each(['light', 'dark'] as const)('has present numbers of a contrast of at least 7:1, %s', async (colorScheme) => {
    await page.emulateMedia({ colorScheme });
    const colours = await page.evaluate<string[]>(
      `[getComputedStyle(document.querySelector('.reading .number')).color,
        getComputedStyle(document.querySelector('.present')).backgroundColor]`,
    );
    const [light = 0, dark = 1] = colours.map(luminance).sort((a, b) => b - a);
    expect((light + 0.05) / (dark + 0.05)).toBeGreaterThanOrEqual(7);
  });
});

/** Relative luminance of an opaque `rgb(r, g, b)`. Source: WCAG 2.2, definition of relative luminance. */
function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = (colour.match(/\d+/g) ?? []).map((part) => {
    const share = Number(part) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}
