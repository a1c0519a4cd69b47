/** The crew's side of the page: hold points, alarms, unhealthy channels, setting right, aim; and what a new line restores. */
import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { LiveFeed, type RunningServer, startServer } from '../../host/serve/index.ts';
import type { OperatorAct, PipelineEvent } from '../../protocol/index.ts';
import { openBrowser, type TestBrowser } from '../support/browser.ts';
import { type BuiltPages, buildPages } from '../support/built-pages.ts';
import { FakeCrew } from '../support/fake-crew.ts';
import { AIR_PA, eventsBetween, openingEvents } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { fillAt, healthEvent, instrumentEvents, limitEvent, measured, watchEventsAt } from '../support/fake-watches.ts';

const WIDE = { width: 1280, height: 900 };
const NARROW = { width: 390, height: 844 };
const NARROWEST = { width: 360, height: 740 };
const TOKEN = 'key-of-this-test';
const NOW_NS = 15e9;

let pages: BuiltPages;
let browser: TestBrowser;
let feed: LiveFeed;
let server: RunningServer;
let crew: FakeCrew;
let page: Page;
const complaints: string[] = [];
/** What the host says to an act before it takes it; undefined takes it. */
let turnedAway: { readonly status: number; readonly body: object } | undefined;

const tell = (...events: readonly PipelineEvent[]) => {
  for (const event of events) feed.accept(event);
};

/** The way of acts, answered in the host's place. */
async function answerActs(): Promise<void> {
  await page.route('**/api/acts', async (route) => {
    const request = route.request();
    if (request.headers().authorization !== `Bearer ${TOKEN}`) return route.fulfill({ status: 401, json: { code: 'no-token' } });
    if (turnedAway) return route.fulfill({ status: turnedAway.status, json: turnedAway.body });
    tell(...crew.take(request.postDataJSON() as OperatorAct, NOW_NS));
    return route.fulfill({ json: { accepted: true } });
  });
}

async function openPage(hash = '', first = ''): Promise<void> {
  page = await browser.context.newPage();
  await page.addInitScript(first);
  page.on('pageerror', (error) => complaints.push(error.message));
  await answerActs();
  await page.goto(`${server.url}${hash}`);
  await page.getByText('Connected', { exact: true }).waitFor();
}

async function openAs(name: string): Promise<void> {
  await openPage(`#token=${TOKEN}`);
  await page.getByLabel('Your name').fill(name);
  await page.getByRole('button', { name: 'Use it' }).click();
  await page.getByText(`Acting as ${name}`).waitFor();
}

const sign = () => page.locator('.verdict strong');
const strip = () => page.getByRole('region', { name: 'Alarms' });

beforeAll(async () => {
  pages = await buildPages();
  browser = await openBrowser(WIDE);
});

afterAll(async () => {
  await browser?.close();
  await pages?.remove();
});

beforeEach(async () => {
  complaints.length = 0;
  turnedAway = undefined;
  feed = new LiveFeed({ mode: 'live' });
  crew = new FakeCrew();
  tell(...openingEvents('2026-03-14T09:30:00.000000Z'), ...instrumentEvents(), ...eventsBetween(0, NOW_NS));
  tell(...watchEventsAt(NOW_NS), crew.holdPoints(0));
  server = await startServer({ feed, port: 0, pagesDir: pages.folder, nowNs: () => NOW_NS });
});

afterEach(async () => {
  // Names and keys are the browser's to remember: the next test begins without.
  await page.evaluate('localStorage.clear()');
  await page.close();
  await server.close();
});

describe('hold points', () => {
  it('go from HOLD to READY by ticks, are recorded with the name, and back when a condition is no longer true', async () => {
    await openAs('Wren');
    expect(page.url()).not.toContain(TOKEN);
    expect(await sign().textContent()).toBe('HOLD');
    await page.getByText('Missing: Sighting tool out of the bore; Range clear; Fill settled.').waitFor();
    await page.getByRole('button', { name: 'Tick: Sighting tool out of the bore' }).click();
    await page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await page.getByText('Missing: Fill settled.').waitFor();
    tell(crew.condition('settled', true, NOW_NS));
    await page.locator('.verdict.is-ready').waitFor();
    expect(await sign().textContent()).toBe('READY');
    await page.getByText('Wren, 09:30:15').first().waitFor();
    expect(crew.acts).toEqual([
      { act: 'hold-point', holdPointId: 'bore', done: true, who: 'Wren' },
      { act: 'hold-point', holdPointId: 'clear', done: true, who: 'Wren' },
    ]);
    tell(crew.condition('settled', false, NOW_NS));
    await page.locator('.verdict.is-hold').waitFor();
    await page.getByRole('button', { name: 'Take back: Range clear' }).click();
    await page.getByText('Missing: Range clear; Fill settled.').waitFor();
    expect(complaints).toEqual([]);
  });

  it('are for looking only without a key, and say that they are no interlock', async () => {
    await openPage();
    await page.getByText('This page may only look.').first().waitFor();
    expect(await page.getByRole('button', { name: /Tick|Acknowledge|Set right|Write down|Enter/ }).count()).toBe(0);
    await page.getByText('This list is no interlock.').waitFor();
  });

  it('are never READY on the word of a host that is no longer heard', async () => {
    await openAs('Wren');
    for (const { id } of crew.holdPoints(0).points) tell(crew.condition(id, true, NOW_NS));
    await page.locator('.verdict.is-ready').waitFor();
    await server.close();
    await page.locator('.verdict.is-hold').waitFor();
    expect(await sign().textContent()).toBe('HOLD');
    await page.getByText('The host is not heard').waitFor();
  });

  it('tell a refusal in words and tick nothing, and ask for the name first', async () => {
    await openPage(`#token=${TOKEN}`);
    await page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await page.getByText('Say who you are first').waitFor();
    expect(await page.evaluate('document.activeElement?.id')).toBe('who');
    await page.keyboard.type('Wren');
    await page.keyboard.press('Enter');
    turnedAway = { status: 200, body: { accepted: false, why: 'the rig file names no such hold point' } };
    await page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await page.getByText('The rig file names no such hold point.').waitFor();
    expect(crew.acts).toEqual([]);
    // A key of an earlier session of the host is put away.
    turnedAway = { status: 401, body: { code: 'no-token' } };
    await page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await page.getByText('This page may only look.').first().waitFor();
    expect(await page.evaluate("sessionStorage.getItem('postern.token')")).toBeNull();
  });
});

describe('alarms', () => {
  it('stand in the strip by word, are spoken, and are acknowledged', async () => {
    await openAs('Wren');
    expect(await strip().getByText('ALARM').count()).toBe(0);
    tell(limitEvent(NOW_NS, 'active'));
    await strip().getByText('ALARM · NOW').waitFor();
    await page.getByRole('alert').getByText('Alarm: The relief valve is about to open.').waitFor({ state: 'attached' });
    await page.getByRole('button', { name: 'Acknowledge: The relief valve' }).click();
    await strip().getByText('NOW, seen').waitFor();
    await strip().getByText('Seen by Wren').waitFor();
    expect(crew.acts).toEqual([{ act: 'acknowledge', limitId: 'relief', who: 'Wren' }]);
    tell(limitEvent(NOW_NS, 'latched'));
    await strip().getByText('OVER, NOT YET SEEN').waitFor();
    tell(limitEvent(NOW_NS, 'clear'));
    await strip().getByText('ALARM').waitFor({ state: 'detached' });
  });

  it('sound only where the crew wants it, once for each, and not for what was heard before', async () => {
    page = await browser.context.newPage();
    await page.addInitScript(`
      globalThis.tones = 0;
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (...at) { globalThis.tones += 1; return start.apply(this, at); };`);
    await page.goto(server.url);
    await page.getByText('Connected', { exact: true }).waitFor();
    const tones = () => page.evaluate<number>('globalThis.tones');
    tell(limitEvent(NOW_NS - 3e9, 'active'));
    await strip().getByText('ALARM · NOW').waitFor();
    expect(await tones()).toBe(0);
    await page.getByRole('button', { name: 'Alarm sound off' }).click();
    await expect.poll(tones).toBe(2);
    tell(limitEvent(NOW_NS - 2e9, 'latched', { audible: false }));
    await strip().getByText('OVER').waitFor();
    expect(await tones()).toBe(2);
    tell(limitEvent(NOW_NS - 1e9, 'active', { severity: 'warning' }));
    await expect.poll(tones).toBe(4);
    await page.getByRole('button', { name: 'Alarm sound on' }).click();
    expect(await page.evaluate("localStorage.getItem('postern.sound')")).toBe('off');
  });
});

describe('a channel that is not healthy', () => {
  it.each(['stuck', 'noisy', 'railed', 'fault', 'disconnected'] as const)('that is %s shows no number anywhere', async (health) => {
    await openPage();
    const [gauge] = await page.locator('.reading.reservoir .number').allInnerTexts();
    expect(Number(gauge)).toBeGreaterThan(1.5);
    tell(healthEvent(NOW_NS, 'reservoirPressure', health));
    await page.locator('.fill-panel').getByText(`its transducer is ${health}`).waitFor();
    // Its watch and its samples go on.
    tell(fillAt(NOW_NS), ...eventsBetween(NOW_NS, NOW_NS + 0.1e9));
    await page.locator('.fill-panel .unfit').first().waitFor();
    expect(await page.locator('.fill-panel .unfit').allInnerTexts()).toEqual([health.toUpperCase(), health.toUpperCase()]);
    expect(await page.locator('.reading.reservoir .number').count()).toBe(0);
    expect(await page.locator('.fill-panel .facts').count()).toBe(0);
    const row = page.getByRole('row', { name: /^Reservoir pressure/ });
    expect(await row.locator('.reads').textContent()).toBe('no reading');
    expect(await page.locator('body').textContent()).not.toContain('2.222');
    expect(complaints).toEqual([]);
  });

  it('takes the gauge reading of others with it when it is the barometer', async () => {
    await openPage();
    tell(healthEvent(NOW_NS, 'airPressure', 'stuck'));
    await page.getByText('needs an air pressure reading').waitFor();
    expect(await page.locator('.reading.reservoir .number').allInnerTexts()).toHaveLength(2);
    expect((await page.locator('.reading.reservoir .number').allInnerTexts())[0]).toBe('–');
  });
});

describe('what the crew enters', () => {
  it('sets a channel right at one known state, with the numbers before and after', async () => {
    await openAs('Wren');
    await page.getByRole('button', { name: 'Set right: Barrel pressure' }).click();
    const steps = page.getByRole('dialog');
    await steps.getByRole('button', { name: 'Zero' }).click();
    // Open to the air it should read what the barometer does.
    expect(Number(await steps.getByLabel(/It should read/).inputValue())).toBeCloseTo(AIR_PA / 1e3, 1);
    await steps.getByLabel(/It should read/).fill('5,00');
    const [, vacuum] = watchEventsAt(NOW_NS);
    // Later than the window of the reading before; the last one makes the mean 4.81.
    [4_780, 4_800, 4_820, 4_840].forEach((pa, sample) => {
      tell({ ...vacuum, atNs: NOW_NS + 4e9 + sample * 1e8, pressurePa: measured(pa, 100) });
    });
    await steps.getByText('4.81', { exact: true }).waitFor();
    await steps.getByRole('button', { name: 'Take this reading' }).click();
    await steps.getByText('gain 1.00000, offset +0.000 kPa').waitFor();
    await steps.getByRole('button', { name: 'Record', exact: true }).click();
    await steps.waitFor({ state: 'detached' });
    const [act] = crew.acts;
    if (act?.act !== 'zero') throw new Error('a zero was to be sent');
    expect(act).toMatchObject({ channel: 'barrelPressure', who: 'Wren', before: { gain: 1, offsetSi: 0 } });
    expect(act.shouldReadSi).toBeCloseTo(5_000, 6);
    expect(act.after.offsetSi).toBeCloseTo(190, 6);
    expect(act.after.gain).toBe(1);
    await page.getByText('set to zero by Wren, 09:30:15').filter({ visible: true }).waitFor();
  });

  it('tells where a shot struck and what to hold next, in its own unit', async () => {
    tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
    await openAs('Wren');
    const form = page.locator('form.place').last();
    await form.getByLabel(/Right/).fill('abc');
    await form.getByRole('button', { name: 'Enter impact' }).click();
    await form.getByText('Enter both distances in mm').waitFor();
    await form.getByLabel(/Right/).fill('12');
    await form.getByLabel(/Up/).fill('−5');
    await form.getByRole('button', { name: 'Enter impact' }).click();
    await page.getByText('12 mm left, 5 mm high').first().waitFor();
    expect(crew.acts).toEqual([{ act: 'impact', shotId: 'cs-2026-03-14-a-001', at: { rightM: 0.012, upM: -0.005 }, who: 'Wren' }]);
    await page.getByRole('img', { name: /Target plane, 1 impact/ }).waitFor();
  });

  it('shows a shot that was left out of the series as such, in the drawing, the words and the table', async () => {
    for (const number of [1, 2]) tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number }) });
    await openPage();
    const shotId = 'cs-2026-03-14-a-002';
    tell(...crew.take({ act: 'impact', shotId: 'cs-2026-03-14-a-001', at: { rightM: 0.012, upM: 0.004 }, who: 'Wren' }, NOW_NS));
    tell(...crew.take({ act: 'impact', shotId, at: { rightM: -0.3, upM: 0.2 }, who: 'Wren' }, NOW_NS));
    tell(...crew.take({ act: 'exclude', shotId, excluded: true, reason: 'struck the frame', who: 'Wren' }, NOW_NS));
    await page.getByRole('img', { name: 'Target plane, 2 impacts; 1 excluded shot' }).waitFor();
    expect(await page.locator('.impact.excluded text').allTextContents()).toEqual(['2']);
    await page.locator('.aim-panel .facts').getByText('1 excluded shot, not in mean, spread or hold').waitFor();
    await page.getByText('All impacts: 2, 1 of them excluded').click();
    const rows = page.getByRole('region', { name: 'Impacts' }).getByRole('row');
    expect(await rows.getByText('excluded').count()).toBe(1);
    await rows.filter({ hasText: '300 mm left' }).getByText('excluded').waitFor();
    tell(...crew.take({ act: 'exclude', shotId, excluded: false, reason: '', who: 'Wren' }, NOW_NS));
    await page.getByText('All impacts: 2', { exact: true }).waitFor();
    expect(await page.locator('.impact.excluded, .is-excluded').count()).toBe(0);
  });

  it('writes a note, shown with the name', async () => {
    await openAs('Wren');
    await page.getByLabel('Note', { exact: true }).fill('Gust from the west');
    await page.getByRole('button', { name: 'Write down' }).click();
    await page.locator('.note-list').getByText('Gust from the west').waitFor();
    await page.locator('.note-list').getByText('Wren').waitFor();
  });
});

it('is told all of it again by a new snapshot: hold points, alarms, health, adjustments, notes, a refused rig file', async () => {
  tell(crew.condition('settled', true, NOW_NS), limitEvent(NOW_NS, 'latched'), healthEvent(NOW_NS, 'barrelPressure', 'railed'));
  tell({ type: 'note', atNs: NOW_NS, text: 'Gust from the west', who: 'Wren' });
  const unadjusted = { gain: 1, offsetSi: 0 };
  tell({ type: 'adjusted', atNs: NOW_NS, channel: 'airPressure', act: 'zero', before: unadjusted, after: unadjusted, who: 'Wren' });
  tell({ type: 'rig-rejected', atNs: NOW_NS, problems: ['fill.target: 3 m is a length, a pressure is needed'] });
  await openPage();
  const all = async () => {
    await page.getByText('Missing: Sighting tool out of the bore; Range clear.').waitFor();
    await strip().getByText('OVER, NOT YET SEEN').waitFor();
    await page.locator('.vacuum-panel .unfit').getByText('RAILED').waitFor();
    await page.getByText('Gust from the west').waitFor();
    await page.getByText('set to zero by Wren').filter({ visible: true }).waitFor();
    await page.getByText('fill.target: 3 m is a length').waitFor();
    await page.locator('.fill-panel').getByText('Fill: Settling').waitFor();
    await page.getByText('no-match').or(page.getByText('pattern does not match: 3')).first().waitFor();
  };
  await all();
  // The line breaks, and the new one is told so much that it needs a snapshot: a latched alarm has gone meanwhile.
  const { port } = server;
  await server.close();
  await page.getByText('Connection to the host lost.').waitFor();
  const later = new LiveFeed({ mode: 'live' });
  feed = later;
  tell(...openingEvents('2026-03-14T09:30:00.000000Z'), ...watchEventsAt(NOW_NS), crew.holdPoints(NOW_NS));
  for (let note = 0; note < 5_000; note += 1) later.accept({ type: 'note', atNs: NOW_NS, text: `note ${note}` });
  later.flush(NOW_NS);
  server = await startServer({ feed: later, port, pagesDir: pages.folder, nowNs: () => NOW_NS });
  await page.getByText('note 4999').waitFor();
  expect(await page.getByText('OVER, NOT YET SEEN').count()).toBe(0);
  expect(await page.locator('.unfit').count()).toBe(0);
  expect(await page.locator('.note-list li').count()).toBe(20);
  expect(await page.getByText('Gust from the west').count()).toBe(0);
});

it.each([WIDE, NARROW])('moves nothing at $width px while the numbers of a fill change', async (viewport) => {
  await openPage();
  await page.setViewportSize(viewport);
  const at = async (ns: number) => {
    tell({ ...fillAt(ns), atNs: NOW_NS, phaseSinceNs: NOW_NS - ns });
    await page
      .locator('.phase')
      .getByText(`for ${(ns / 1e9).toFixed(1)} s`)
      .waitFor();
    return page.evaluate<number[]>(`[...document.querySelectorAll('.panel')].map((panel) => panel.getBoundingClientRect().top + scrollY)`);
  };
  const before = await at(2e9);
  expect(before.length).toBeGreaterThan(8);
  for (const ns of [3e9, 5e9, 7e9]) expect(await at(ns)).toEqual(before);
});

it.each([WIDE, NARROW, NARROWEST])('moves nothing at $width px while a vessel at ambient reads about zero', async (viewport) => {
  await openPage();
  await page.setViewportSize(viewport);
  const at = async (overPa: number, ratePaPerS: number) => {
    tell({
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
    await page
      .locator('.fill-panel .facts')
      .getByText(`${ratePaPerS < 0 ? '−' : '+'}${Math.abs(ratePaPerS).toFixed(1)} ± 5.0`)
      .waitFor();
    return page.evaluate<number[]>(`[...document.querySelectorAll('.panel')].map((panel) => panel.getBoundingClientRect().top + scrollY)`);
  };
  const before = await at(3_000, 0.4);
  expect(await at(-3_000, -20.7)).toEqual(before);
  expect(await page.locator('.reading.reservoir .number').first().textContent()).toBe('-0.003');
});

describe('with everything in sight', () => {
  beforeEach(async () => {
    tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
    tell(limitEvent(NOW_NS, 'active'), limitEvent(NOW_NS, 'latched', { id: 'near-maximum', severity: 'warning', words: 'Close to it.' }));
    tell(healthEvent(NOW_NS, 'barrelPressure', 'disconnected'));
    tell(...crew.take({ act: 'impact', shotId: 'cs-2026-03-14-a-001', at: { rightM: 0.012, upM: -0.03 }, who: 'Wren' }, NOW_NS));
    tell(fillAt(10e9));
  });

  it.each([
    ['wide and light', WIDE, 'light'],
    ['wide and dark', WIDE, 'dark'],
    ['narrow and light', NARROW, 'light'],
    ['narrow and dark', NARROW, 'dark'],
  ] as const)('has no accessibility violation, %s, in the page and in a step', async (_name, viewport, colorScheme) => {
    await openAs('Wren');
    await page.setViewportSize(viewport);
    await page.emulateMedia({ colorScheme });
    for (const summary of await page.locator('summary').all()) await summary.click();
    await page.evaluate(axe.source);
    const look = async () => {
      const { violations, passes } = await page.evaluate<axe.AxeResults>('axe.run(document)');
      expect(passes.length).toBeGreaterThan(20);
      expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`)).toEqual([]);
    };
    await look();
    await page.getByRole('button', { name: 'Set right: Air pressure' }).filter({ visible: true }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Two points' }).click();
    await look();
  });

  it.each([WIDE, NARROW, NARROWEST])('fits $width px, with targets of 44 px', async (viewport) => {
    await openAs('Wren');
    await page.setViewportSize(viewport);
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(viewport.width);
    const small: string[] = [];
    for (const target of await page.locator('button, a, input[type=text], textarea, select, summary').filter({ visible: true }).all()) {
      const box = await target.boundingBox();
      if (!box || box.width < 44 || box.height < 44) small.push(`${await target.textContent()} ${JSON.stringify(box)}`);
    }
    expect(small).toEqual([]);
  });

  it.each([NARROW, NARROWEST])('is no wider than $width px even before its drawings know that the page was turned', async (viewport) => {
    await openPage(
      '',
      `globalThis.ResizeObserver = class extends ResizeObserver {
        constructor(tell) { super((...sizes) => globalThis.turned || tell(...sizes)); }
      };`,
    );
    await page.locator('.drawing svg').nth(1).waitFor();
    const widths = () => page.evaluate<number[]>(`[...document.querySelectorAll('.plot canvas')].map((canvas) => canvas.width)`);
    const before = await widths();
    expect(before.every((width) => width > viewport.width)).toBe(true);
    await page.evaluate('globalThis.turned = true');
    await page.setViewportSize(viewport);
    expect(await widths()).toEqual(before);
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBe(viewport.width);
  });
});
