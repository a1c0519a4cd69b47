/** Pages with addresses of their own: gone to without leaving the host, opened in place, and said to be missing where they are. */
import axe from 'axe-core';
import { expect, it } from 'vitest';
import { PAGE_PATHS } from '../../host/serve/page-paths.ts';
import { crewDesk, NARROWEST, NOW_NS, TOKEN } from '../support/crew-desk.ts';
import { fakeShot } from '../support/fake-shot.ts';

const desk = crewDesk();
const pages = () => desk.page.getByRole('navigation', { name: 'Pages' });

it('serves every page that the navigation leads to, and each opens in place', async () => {
  await desk.openPage();
  const links = await pages().getByRole('link').all();
  const paths = await Promise.all(links.map((link) => link.getAttribute('href')));
  expect(paths).toEqual(['/', ...PAGE_PATHS]);
  for (const [at, path] of paths.entries()) {
    await desk.page.goto(new URL(path ?? '', desk.server.url).href);
    const current = pages().locator('[aria-current=page]');
    await current.waitFor();
    expect(await current.textContent()).toBe(await pages().getByRole('link').nth(at).textContent());
    expect(await desk.page.title()).toBe(`${await current.textContent()} · Postern`);
  }
  expect(desk.complaints).toEqual([]);
});

it('goes from page to page by keyboard and back without leaving the host, and shows a shot on any', async () => {
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
  await desk.openPage();
  await desk.page.evaluate('window.isTheSameDocument = true');
  await pages().getByRole('link', { name: 'Shot', exact: true }).focus();
  await desk.page.keyboard.press('Enter');
  await desk.page.getByRole('region', { name: 'Newest shot: 1' }).waitFor();
  expect(await desk.page.evaluate('document.activeElement.tagName')).toBe('MAIN');
  expect(new URL(desk.page.url()).pathname).toBe('/shot');
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 2 }) });
  await desk.page.getByRole('region', { name: 'Newest shot: 2' }).waitFor();
  await desk.page.goBack();
  await desk.page.getByRole('region', { name: 'Hold points' }).waitFor();
  expect(await desk.page.evaluate('window.isTheSameDocument')).toBe(true);
  expect(desk.complaints).toEqual([]);
});

it('says that a page could not be fetched, stays live, and fetches it when asked again', async () => {
  await desk.openPage();
  await desk.page.route('**/assets/shot-page-*.js', (route) => route.abort());
  await pages().getByRole('link', { name: 'Shot', exact: true }).click();
  await desk.page.getByText('The host did not give this page').waitFor();
  await desk.page.unroute('**/assets/shot-page-*.js');
  await desk.page.getByRole('button', { name: 'Try again' }).click();
  await desk.page.getByRole('region', { name: 'Newest shot' }).waitFor();
});

it.each([NARROWEST])('fits $width px, and everybody can use it', async (size) => {
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
  await desk.openPage();
  await desk.page.setViewportSize(size);
  await pages().getByRole('link', { name: 'Shot', exact: true }).click();
  await desk.page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0);
  await desk.page.evaluate(axe.source);
  const { violations } = await desk.page.evaluate<axe.AxeResults>('axe.run()');
  expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
});

it('lists on a live host the sessions to replay, begins one for the crew, and leads to it with the page’s key', async () => {
  const stored = { rig: 'Heron', site: 'Cold Sike', shots: 3, shotsFlagged: 1, channels: [] };
  const sessions = ['b', 'a'].map((id) => ({ ...stored, id: `cs-${id}`, openedAt: '2026-03-13T08:00:00.000000Z' }));
  const asked: unknown[] = [];
  await desk.openPage(`#token=${TOKEN}`);
  await desk.page.route('**/api/sessions', (route) => route.fulfill({ json: sessions }));
  await desk.page.route('**/api/replays', (route) => {
    if (route.request().method() === 'GET') return route.fulfill({ json: { running: null } });
    asked.push([route.request().postDataJSON(), route.request().headers().authorization]);
    const isFirst = asked.length === 1;
    return route.fulfill({
      json: isFirst ? { started: false, why: 'its journal is gone' } : { started: true, replay: { sessionId: 'cs-a', port: 4999 } },
    });
  });
  await pages().getByRole('link', { name: 'Replay' }).click();
  const panel = desk.page.getByRole('region', { name: 'Sessions to replay' });
  await panel.getByRole('button', { name: 'Replay session cs-a' }).click();
  await panel.getByText('Its journal is gone.').waitFor();
  await panel.getByRole('button', { name: 'Replay session cs-a' }).click();
  const link = panel.getByRole('link', { name: 'Open the replay' });
  expect(await link.getAttribute('href')).toBe(`http://127.0.0.1:4999/replay?session=cs-a#token=${TOKEN}`);
  expect(asked).toEqual(Array(2).fill([{ session: 'cs-a' }, `Bearer ${TOKEN}`]));
  expect(desk.complaints).toEqual([]);
});
