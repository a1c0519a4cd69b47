/** What a page that may only look tells of limits, transducers, hold points, instruments and a rig file that is not taken. */
import axe from 'axe-core';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { PipelineEvent } from '../../protocol/index.ts';
import { crewDesk, NOW_NS } from '../support/crew-desk.ts';
import { FakeCrew } from '../support/fake-crew.ts';
import { FAKE_SESSION_ID } from '../support/fake-feed.ts';
import { FAKE_RIG } from '../support/fake-rig.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { healthEvent, limitEvent } from '../support/fake-watches.ts';

const OPENED_AT = '2026-03-14T09:30:00.000000Z';
const REJECTED: PipelineEvent = {
  type: 'rig-rejected',
  atNs: NOW_NS,
  problems: ['fill.target: 3 m is a length, a pressure is needed', 'gates: A1 stands twice'],
};

const desk = crewDesk();
const tell = (...events: readonly PipelineEvent[]) => desk.tell(...events);
const strip = () => desk.page.getByRole('region', { name: 'Alarms' });
const board = (name: string) =>
  desk.page.locator('.board').filter({ has: desk.page.getByRole('heading', { name: new RegExp(`^${name} `) }) });

beforeEach(() => desk.openPage());
afterEach(() => expect(desk.complaints).toEqual([]));

it('shows a gauge off zero in its panel with what to do, also to a page that comes later', async () => {
  const offset = (channel: string, value: number, verdict: 'within-claim' | 'beyond-claim'): PipelineEvent => ({
    type: 'offset',
    atNs: NOW_NS,
    channel,
    offsetSi: { value, standardUncertainty: 60, expandedUncertainty: 120 },
    claimedSi: 1200,
    verdict,
    words: '',
  });
  tell(offset('reservoirPressure', -400, 'within-claim'), offset('barrelPressure', 4000, 'beyond-claim'));
  const vacuum = desk.page.getByRole('region', { name: 'Vacuum' });
  const seen = /4\.00 ± 0\.12 kPa too high at ambient: (zero it before the pump starts|not zeroed before the pump-down)/;
  await vacuum.getByText(seen).waitFor();
  await desk.page
    .getByRole('region', { name: 'Fill' })
    .getByText(/0\.40 ± 0\.12 kPa too low at ambient, within its ±/)
    .waitFor();
  await desk.page.reload();
  await desk.page.getByText('Connected', { exact: true }).waitFor();
  await vacuum.getByText(seen).waitFor();
  for (const width of [390, 1280]) {
    await desk.page.setViewportSize({ width, height: 844 });
    await expect
      .poll(() => desk.page.evaluate<number>('document.documentElement.scrollWidth'), { timeout: 30_000 })
      .toBeLessThanOrEqual(width);
  }
});

it('names the channels whose calibration was past its date when a shot was fired', async () => {
  const shot = { ...fakeShot({ number: 900, flags: ['calibration-overdue'] }), calibrationOverdue: ['reservoirPressure', 'barrelVacuum'] };
  tell({ type: 'shot', atNs: NOW_NS, phase: 'closed', shot });
  await desk.page.getByText(/before the day of the firing\. Reservoir pressure, Barrel vacuum\./).waitFor();
});

it('raises an alarm and a warning, told apart by word and by shape, and lets each go by itself', async () => {
  const near = { id: 'near-maximum', severity: 'warning', words: 'Close to the maximum fill.' } as const;
  tell(limitEvent(NOW_NS, 'active', near), limitEvent(NOW_NS, 'active'));
  await strip().getByText('ALARM · NOW').waitFor();
  await strip().getByText('WARNING · NOW').waitFor();
  expect(await strip().locator('.limit strong').allTextContents()).toEqual(['ALARM · NOW', 'WARNING · NOW']);
  const shapes = await desk.page.evaluate<string[]>(
    `[...document.querySelectorAll('.limit .severity-mark path:first-child')].map((path) => path.getAttribute('d'))`,
  );
  expect(new Set(shapes).size).toBe(2);
  tell(limitEvent(NOW_NS, 'latched'));
  await strip().getByText('ALARM · OVER, NOT YET SEEN').waitFor();
  tell(limitEvent(NOW_NS, 'clear'));
  await strip().getByText('ALARM ·').waitFor({ state: 'detached' });
  expect(await strip().locator('.limit strong').allTextContents()).toEqual(['WARNING · NOW']);
  tell(limitEvent(NOW_NS, 'clear', near));
  await strip().getByText('WARNING').waitFor({ state: 'detached' });
});

it('takes the number of an unhealthy channel away, and gives it back when it is healthy again', async () => {
  const row = desk.page.getByRole('row', { name: /^Barrel pressure/ });
  const shown = await row.locator('.reads b').textContent();
  expect(shown).toMatch(/^\d+\.\d+$/);
  tell(healthEvent(NOW_NS, 'barrelPressure', 'railed'));
  await row.getByText('no reading').waitFor();
  expect(await row.locator('.reads').textContent()).not.toMatch(/\d/);
  await desk.page.locator('.vacuum-panel').getByText('its transducer is railed').waitFor();
  expect(await desk.page.locator('.vacuum-panel .number').count()).toBe(0);
  tell(healthEvent(NOW_NS, 'barrelPressure', 'healthy'));
  await row.locator('.reads b').waitFor();
  expect(await row.locator('.reads b').textContent()).toBe(shown);
});

it('turns from HOLD to READY when the last point is done, and back, though it may only look', async () => {
  const crew = new FakeCrew();
  const sign = desk.page.locator('.verdict strong');
  const [bore, clear, settled] = FAKE_RIG.holdPoints.map(({ id }) => id);
  if (!bore || !clear || !settled) throw new Error('the rig has three hold points');
  tell(crew.holdPoints(0), ...[bore, clear].flatMap((id) => crew.take(tick(id, true), NOW_NS)));
  await desk.page.getByText('Missing: Fill settled.').waitFor();
  expect(await sign.textContent()).toBe('HOLD');
  tell(crew.condition(settled, true, NOW_NS));
  await desk.page.locator('.verdict').getByText('READY', { exact: true }).waitFor();
  tell(...crew.take(tick(clear, false), NOW_NS));
  await desk.page.getByText('Missing: Range clear.').waitFor();
  expect(await sign.textContent()).toBe('HOLD');
  expect(await desk.page.getByRole('button', { name: /^Tick|^Take back/ }).count()).toBe(0);
});

const tick = (holdPointId: string, done: boolean) => ({ act: 'hold-point', holdPointId, done, who: 'Wren' }) as const;

it('cries out over a rig file that is not taken, lists what is wrong with it, and is quiet once one is taken', async () => {
  await desk.page.setViewportSize({ width: 390, height: 844 });
  tell(REJECTED);
  const cry = desk.page.getByRole('alert').getByText('Rig file not taken.');
  await cry.waitFor();
  await desk.page.getByRole('alert').getByText('It has 2 problems').waitFor();
  expect(await desk.page.locator('.rig-problems li').allTextContents()).toEqual(REJECTED.problems);
  expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(390);
  await desk.page.evaluate(axe.source);
  const { violations, passes } = await desk.page.evaluate<axe.AxeResults>('axe.run(document)');
  expect(passes.length).toBeGreaterThan(20);
  expect(violations.map(({ id }) => id)).toEqual([]);
  // A page that comes later is told too.
  await desk.page.reload();
  await cry.waitFor();
  tell({ type: 'session', atNs: NOW_NS, sessionId: FAKE_SESSION_ID, openedAt: OPENED_AT, softwareVersion: '0.1.0', rig: FAKE_RIG });
  await cry.waitFor({ state: 'detached' });
  expect(await desk.page.locator('.rig-problems').count()).toBe(0);
});

it('tells of each instrument what it has: a clock only of the gate board, lines only of the text instrument', async () => {
  await board('gate-board')
    .getByText(/board less host: offset −3\.2497\d\d ± 0\.000044 s, rate \+21\.\d\d ± 0\.62 ppm/)
    .waitFor();
  expect(
    await board('weather')
      .getByText(/board less host|Round trip|Frames/)
      .count(),
  ).toBe(0);
  for (const name of ['weather', 'gauge'])
    expect(await board(name).textContent()).toContain('none of its own: timed when its words arrive at the host, ± 20 ms');
  const gauge = await board('gauge').locator('.facts').textContent();
  for (const fact of ['412, 9.8 a second', '2, each longer than three usual intervals', 'pattern does not match: 3', 'P=31.2\\x00bar'])
    expect(gauge).toContain(fact);
});

it('says of a calibration that it is overdue, from its date', async () => {
  await desk.page
    .getByRole('row', { name: /^Reservoir pressure/ })
    .getByText('OVERDUE since 2026-03-01')
    .filter({ visible: true })
    .waitFor();
  expect(await desk.page.getByText('OVERDUE').filter({ visible: true }).count()).toBe(1);
});

it('gives every channel its uncertainty, the rig file’s where no watch follows it', async () => {
  tell({
    type: 'samples',
    atNs: NOW_NS,
    channel: 'gaugePressure',
    stream: 'slow',
    fromNs: NOW_NS - 1e9,
    periodNs: 1e8,
    valuesSi: GAUGE_PA,
  });
  await desk.page
    .getByRole('row', { name: /^Gauge pressure/ })
    .getByText('± 0.025 MPa')
    .waitFor();
  const reads = await desk.page.locator('.channel-table .reads').allTextContents();
  expect(reads).toHaveLength(FAKE_RIG.channels.length);
  for (const text of reads) expect(text).toContain('±');
});

const GAUGE_PA = Array.from({ length: 10 }, () => 2_098_340);

it('lists each limit with its id, its threshold and what the threshold is counted from, its severity and its state', async () => {
  tell(limitEvent(NOW_NS, 'active'));
  await desk.page.getByText('Limits that are watched: 2').click();
  const list = desk.page.locator('.limit-list');
  await list.getByText('NOW Alarm relief: Reservoir pressure above 3.950 MPa gauge.').waitFor();
  await list.getByText('within Warning near-maximum: Reservoir pressure above 3.600 MPa gauge.').waitFor();
});
