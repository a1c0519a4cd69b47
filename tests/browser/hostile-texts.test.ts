/** Script in every text that can reach the page, in a real browser: shown as text, run by nobody; and the page by its keys. */
import { networkInterfaces } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, expect, it } from 'vitest';
import { LiveFeed, newToken, type RunningServer, startServer } from '../../host/serve/index.ts';
import type { PipelineEvent } from '../../protocol/index.ts';
import { FakeCrew } from '../support/fake-crew.ts';
import { eventsBetween, openingEvents } from '../support/fake-feed.ts';
import { healthEvent, instrumentEvents, limitEvent, watchEventsAt } from '../support/fake-watches.ts';
import { SCRIPTS, withHostileTexts } from '../support/hostile-texts.ts';
import { pagesInBrowser } from '../support/pages-in-browser.ts';

const NOW_NS = 39e9;
const [LOOK, CREW] = [newToken(), newToken()];
/** Before any script of the page: what the browser itself would not run is told here. */
const TRIPWIRE = `window.__fired = undefined; window.__blocked = [];
  addEventListener('securitypolicyviolation', (event) => window.__blocked.push(event.violatedDirective + ' ' + event.blockedURI));`;

const pages = pagesInBrowser();
let server: RunningServer;
let page: Page;
afterEach(async () => {
  await page?.close();
  await server?.close();
});

async function open(events: readonly PipelineEvent[], { hash = '', host = '127.0.0.1' } = {}): Promise<void> {
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of events) feed.accept(event);
  const doors = { crewToken: CREW, ...(host === '127.0.0.1' ? {} : { lookToken: LOOK }) };
  server = await startServer({ feed, port: 0, host, doors, pagesDir: pages.folder, nowNs: () => NOW_NS });
  page = await pages.newPage();
  await page.addInitScript(TRIPWIRE);
  await page.goto(`${server.url}${hash}`);
}

const ALL: readonly PipelineEvent[] = [
  ...openingEvents('2026-03-14T09:30:00.000Z'),
  ...instrumentEvents(),
  ...eventsBetween(0, NOW_NS),
  ...watchEventsAt(NOW_NS),
  new FakeCrew().holdPoints(NOW_NS),
  limitEvent(NOW_NS, 'active', { acknowledgedBy: 'Wren' }),
  healthEvent(NOW_NS, 'barrelPressure', 'stuck'),
  { type: 'note', atNs: NOW_NS, text: 'film changed', who: 'Wren', shotId: 'cs-2026-03-14-a-1' },
  { type: 'rig-rejected', atNs: NOW_NS, problems: ['rig.yaml:3:1 name: is empty'] },
  { type: 'act-refused', atNs: NOW_NS, act: 'note', why: 'the rig file names no such thing' },
  { type: 'link', atNs: NOW_NS, source: 'gauge', change: 'wrong-device', path: './wires/gauge', detail: 'says it is another' },
  { type: 'link', atNs: NOW_NS, source: 'weather', change: 'lost', path: './wires/weather', detail: 'gone' },
];

it('shows script in every text as text, and runs none of it', async () => {
  await open(ALL.map(withHostileTexts), { hash: `#token=${CREW}` });
  await page.getByText('Connected', { exact: true }).waitFor();
  // All that can be unfolded, pointed at and focused is.
  await page.evaluate(`for (const one of document.querySelectorAll('details')) one.open = true;
    for (const one of document.querySelectorAll('*')) { one.dispatchEvent(new MouseEvent('mouseover', { bubbles: true })); one.focus?.(); }`);
  await page.evaluate(`location.hash = '#shot=' + encodeURIComponent('<img src=x onerror=window.__fired=1>')`);
  await page.evaluate(`location.hash = ''`);
  const seen = await page.evaluate('document.body.innerText');
  // Each kind of them is somewhere to be read, as it was written.
  for (const script of SCRIPTS) expect(seen).toContain(script);
  expect(
    await page
      .locator('main script, main iframe, main img, [onerror], [onload], [onmouseover], [onfocus], [autofocus], a[href^="javascript:"]')
      .count(),
  ).toBe(0);
  expect(await page.evaluate('({ fired: window.__fired, blocked: window.__blocked })')).toEqual({ fired: undefined, blocked: [] });
  expect(pages.exceptions).toEqual([]);
});

it('would run nothing even if a text became markup', async () => {
  await open(ALL);
  await page.getByText('Connected', { exact: true }).waitFor();
  // What the page never does is done to it: as markup, as an element of script, as code, as an address.
  const tries = await page.evaluate(`[
    () => { document.body.innerHTML += '<img src=x onerror="window.__fired=1">'; },
    () => { const s = document.createElement('script'); s.textContent = 'window.__fired=1'; document.body.append(s); },
    () => { setTimeout('window.__fired=1'); },
    () => { const a = document.createElement('a'); a.setAttribute('onclick', 'window.__fired=1'); document.body.append(a); a.click(); },
    () => { const f = document.createElement('iframe'); f.src = 'data:text/html,x'; document.body.append(f); },
  ].map((attempt) => { try { attempt(); return 'done'; } catch (error) { return error.name; } })`);
  expect(tries).toEqual(['TypeError', 'TypeError', expect.any(String), expect.any(String), 'done']);
  await expect.poll(() => page.evaluate('window.__blocked.length')).toBeGreaterThanOrEqual(4);
  expect(await page.evaluate('window.__fired')).toBeUndefined();
});

it('has a tripwire that does fire where nothing stands before it', async () => {
  await open(ALL);
  const bare = await pages.newPage();
  await bare.setContent(SCRIPTS[0] ?? '');
  await expect.poll(() => bare.evaluate('window.__fired')).toBe(1);
  await bare.close();
});

it('asks for a key where the host does, takes it out of the address, and looks with it', async () => {
  await open(ALL, { host: '0.0.0.0' });
  await page.getByText('The host asks for a key to look.').waitFor();
  expect(await page.getByText('Connected', { exact: true }).count()).toBe(0);
  await page.evaluate(`location.hash = '#look=${LOOK}'`);
  await page.getByText('Connected', { exact: true }).waitFor();
  await page.getByText('The host asks for a key to look.').waitFor({ state: 'detached' });
  expect(page.url()).not.toContain(LOOK);
  await page.getByText('This page may only look.').first().waitFor();
  expect(await page.evaluate('({ ...localStorage })')).not.toMatchObject({ 'postern.look': LOOK });
  // The table of shots is asked for over HTTP, with the same key; the crew's key looks as well.
  await page.evaluate(`location.hash = '#token=${CREW}'`);
  await page.getByLabel('Your name').first().waitFor();
  await page.reload();
  await page.getByText('Connected', { exact: true }).waitFor();
  expect(pages.exceptions).toEqual([]);
  const address = Object.values(networkInterfaces())
    .flatMap((all) => all ?? [])
    .find(({ internal, family }) => !internal && family === 'IPv4')?.address;
  if (!address) return;
  await page.goto(`http://${address}:${server.port}/#look=${LOOK}`);
  await page.getByText('Connected', { exact: true }).waitFor();
});

it('cannot be watched by a page from elsewhere, not even with its key', async () => {
  await open(ALL, { host: '0.0.0.0' });
  const other = await startServer({ feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir: join(pages.folder, 'none') });
  try {
    const stranger = await pages.newPage();
    await stranger.goto(`${other.url}api/health`);
    // A page without the policy of ours, as an attacker's is.
    await stranger.route('**/stranger', (route) => route.fulfill({ contentType: 'text/html', body: '<p>stranger</p>' }));
    await stranger.goto(`${other.url}stranger`);
    const tried = await stranger.evaluate(`Promise.all([
      new Promise((resolve) => { const s = new WebSocket('ws://127.0.0.1:${server.port}/live', ['postern.live.1', 'postern.token.${LOOK}']);
        s.onmessage = () => resolve('heard'); s.onclose = () => resolve('closed'); }),
      fetch('${server.url}api/state', { headers: { authorization: 'Bearer ${LOOK}' } }).then(() => 'read', () => 'refused'),
      fetch('${server.url}api/acts', { method: 'POST', mode: 'no-cors', body: '{}' }).then((answer) => answer.type, () => 'refused'),
    ])`);
    expect(tried).toEqual(['closed', 'refused', expect.stringMatching(/opaque|refused/)]);
    await stranger.close();
  } finally {
    await other.close();
  }
});
