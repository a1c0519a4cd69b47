/**
 * Every page that the navigation has, in every state that a session can be in: nobody is kept out (axe-core, WCAG 2.2 AA
 * and its best practices), and nothing is wider than the screen. Each page is looked at in two looks a state, and over two
 * states in all four; with `POSTERN_EVERY_LOOK` (as `npm run check:pages` has it) in all four each time.
 */
import axe from 'axe-core';
import { expect, it } from 'vitest';
import { LiveFeed, type startServer } from '../../host/serve/index.ts';
import { campaignSources, deskOf } from '../support/campaigns/map-sources.ts';
import { crewDesk, NARROW, NOW_NS, OPENED_AT, TOKEN, WIDE } from '../support/crew-desk.ts';
import { eventsBetween, openingEvents } from '../support/fake-feed.ts';
import { fakeSeries } from '../support/fake-fleet.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { healthEvent, instrumentEvents, limitEvent, watchEventsAt } from '../support/fake-watches.ts';

const desk = crewDesk();
const MAPS = deskOf(campaignSources(11, () => 1));

interface Look {
  readonly viewport: typeof WIDE;
  readonly colorScheme: 'light' | 'dark';
}
const LOOKS: readonly (readonly Look[])[] = [
  [
    { viewport: NARROW, colorScheme: 'light' },
    { viewport: WIDE, colorScheme: 'dark' },
  ],
  [
    { viewport: NARROW, colorScheme: 'dark' },
    { viewport: WIDE, colorScheme: 'light' },
  ],
];

const shot = (number: number) =>
  desk.tell({
    type: 'shot',
    phase: 'closed',
    atNs: NOW_NS,
    shot: fakeShot({ number, fragment: number === 2, flags: number === 2 ? ['edges-rejected', 'air-stale'] : [] }),
  });
const shots = () => [1, 2].map(shot);
const link = (change: 'lost' | 'opened', source: string) =>
  desk.tell({ type: 'link', atNs: NOW_NS, source, change, path: `./wires/${source}`, detail: change === 'lost' ? 'the port is gone' : '' });

/** The desk's feed goes on under a new server, or a new feed does. */
async function serveAnew(feed: LiveFeed, more: Partial<Parameters<typeof startServer>[0]> = {}): Promise<void> {
  await desk.server.close();
  desk.feed = feed;
  await desk.serve(0, more);
}

/** Each ends with its state on the Rig page. */
const STATES: Readonly<Record<string, () => Promise<void>>> = {
  async empty() {
    const feed = new LiveFeed({ mode: 'live' });
    for (const event of openingEvents(OPENED_AT)) feed.accept(event);
    await serveAnew(feed);
    await desk.openPage();
  },
  async 'running, looked at only'() {
    shots();
    desk.tell({ type: 'note', atNs: NOW_NS, text: 'film changed', who: 'Wren', shotId: 'cs-2026-03-14-a-001' });
    await desk.openPage();
  },
  async 'in the hold, acting'() {
    shots();
    desk.tell(...desk.crew.take({ act: 'impact', shotId: 'cs-2026-03-14-a-001', at: { rightM: 0.012, upM: -0.03 }, who: 'Wren' }, NOW_NS));
    desk.tell(...desk.crew.take({ act: 'hold-point', holdPointId: 'bore', done: true, who: 'Wren' }, NOW_NS));
    await desk.openAs('Wren');
  },
  async 'in alarm'() {
    shots();
    desk.tell(
      limitEvent(NOW_NS, 'active'),
      limitEvent(NOW_NS, 'latched', { id: 'near-maximum', severity: 'warning', words: 'Close to it.' }),
      healthEvent(NOW_NS, 'barrelPressure', 'stuck'),
      { type: 'rig-rejected', atNs: NOW_NS, problems: ['rig.yaml:3:1 name: is empty'] },
      { type: 'act-refused', atNs: NOW_NS, act: 'note', why: 'the rig file names no such thing' },
    );
    link('lost', 'gate-board');
    desk.feed.tellRecording({ problem: 'no space left on device', sinceNs: NOW_NS, waitingBytes: 2e6, waitingBytesMax: 64e6 });
    await desk.openAs('Wren');
  },
  async 'a replay'() {
    const feed = new LiveFeed({ mode: 'replay' });
    const told = [...openingEvents(OPENED_AT), ...instrumentEvents(), ...eventsBetween(0, NOW_NS), ...watchEventsAt(NOW_NS)];
    for (const event of told) feed.accept(event);
    const first = fakeShot({ number: 1 });
    feed.accept({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: first });
    const at = { id: first.id, number: 1, firedAtNs: first.firedAtNs, closedAtNs: first.firedAtNs + 2e9 };
    feed.tellReplay({ playing: false, speed: 1, endNs: 60e9, readToNs: 60e9, isRead: true, shots: [at], marks: 0 });
    await serveAnew(feed);
    await desk.openPage(`#token=${TOKEN}`, '', 'Connected, replay');
  },
  async 'without the key to look'() {
    await serveAnew(desk.feed, { host: '0.0.0.0', doors: { lookToken: 'to-look', crewToken: 'to-act' } });
    await desk.openPage('', '', 'The host asks for a key to look.');
  },
};

it.each(Object.entries(STATES))('keeps nobody out and fits: %s', async (name, begin) => {
  desk.maps = MAPS;
  desk.series = fakeSeries();
  await begin();
  desk.series = undefined;
  await desk.page.evaluate(axe.source);
  const links = desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link');
  const found: unknown[] = [];
  for (const [at, entry] of (await links.all()).entries()) {
    const path = (await entry.getAttribute('href')) ?? '';
    await desk.page.setViewportSize(WIDE);
    await entry.click();
    await desk.page.locator(`nav a[href="${path}"][aria-current=page]`).waitFor();
    await desk.page.getByRole('main').getByRole('heading').first().waitFor();
    const looks = process.env.POSTERN_EVERY_LOOK ? LOOKS.flat() : (LOOKS[(at + Object.keys(STATES).indexOf(name)) % 2] ?? []);
    for (const { viewport, colorScheme } of looks) {
      await desk.page.setViewportSize(viewport);
      await desk.page.emulateMedia({ colorScheme });
      const where = `${path} ${viewport.width} ${colorScheme}`;
      const { violations, passes } = await desk.page.evaluate<Pick<axe.AxeResults, 'violations' | 'passes'>>(
        `axe.run(document, { resultTypes: ['violations'], elementRef: false }).then(({ violations, passes }) => ({ violations, passes }))`,
      );
      // Else it looked at nothing.
      expect(passes.length, where).toBeGreaterThan(12);
      found.push(...violations.map(({ id, nodes }) => [where, id, nodes.map(({ html }) => html).join(' ')]));
      const over = await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth');
      if (over > 0) found.push([where, `is ${over} px wider than the screen`]);
    }
  }
  expect(found).toEqual([]);
  expect(desk.complaints).toEqual([]);
});
