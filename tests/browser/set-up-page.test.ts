/** The Set-up page: the rig file with its mistakes, what is due to be set right, who is connected; and what a page that may only look is not shown. */

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeEach, expect, it } from 'vitest';
import { SessionRigFile } from '../../host/cli/set-up/session-rig-file.ts';
import { LiveFeed, newToken, type RunningServer, startServer } from '../../host/serve/index.ts';
import type { ChannelSummary, SessionEvent } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { eventsBetween, openingEvents } from '../support/fake-feed.ts';
import { pagesInBrowser } from '../support/pages-in-browser.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const doors = { lookToken: newToken(), crewToken: newToken() };
const scratch = scratchFolder();
const rigFile = join(scratch.path, 'heron.yaml');
const pages = pagesInBrowser();
let server: RunningServer;
let page: Page;

afterAll(() => scratch.remove());
beforeEach(async () => {
  writeFileSync(rigFile, HERON_YAML);
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of [...openingEvents('2026-03-14T09:30:00.000000Z').map(withDates), ...eventsBetween(0, 5e9)]) feed.accept(event);
  server = await startServer({
    feed,
    port: 0,
    doors,
    pagesDir: pages.folder,
    nowNs: () => 5e9,
    rigFile: new SessionRigFile(rigFile, HERON_YAML),
    addresses: () => ['http://192.0.2.7:4780/'],
  });
  page = await pages.newPage();
});
afterEach(async () => {
  await page.close();
  await server.close();
});

/** The last channel is overdue, the first is in time. */
function withDates<E extends { readonly type: string }>(event: E): E {
  if (event.type !== 'session') return event;
  const session = event as unknown as SessionEvent;
  const channels = session.rig.channels.map((channel, index, all): ChannelSummary => {
    if (index === 0) return { ...channel, calibratedOn: '2026-02-10', calibrationDue: '2028-02-10' };
    return index === all.length - 1 ? { ...channel, calibratedOn: '2025-03-01', calibrationDue: '2026-03-01' } : channel;
  });
  return { ...session, rig: { ...session.rig, channels } } as unknown as E;
}

const open = async (key: string) => {
  await page.goto(`${server.url}set-up#${key}`);
  await page.getByText('Connected', { exact: true }).waitFor();
};
const region = (name: string) => page.getByRole('region', { name, exact: true });

it('shows the crew the rig file by its lines, and the mistakes of the one on disk by their places', async () => {
  await open(`token=${doors.crewToken}`);
  const panel = region('Rig file');
  await panel.getByText('What the check says of it').first().click();
  await panel.getByText('Heron at Cold Sike: the rig file is in order.').waitFor();
  await panel.getByText(/^The file, \d+ lines$/).click();
  const text = panel.locator('.numbered pre');
  await text.waitFor();
  // The numbers are no part of what is copied.
  expect(await text.evaluate((pre) => pre.textContent)).toBe(HERON_YAML);
  await panel.getByRole('button', { name: 'Copy the file' }).click();
  await panel.getByText(/^(Copied\.|Selected: copy it with your browser\.)$/).waitFor();

  const lines = HERON_YAML.split('\n');
  const at = lines.findIndex((line) => line.includes('position: 2.5000 m'));
  writeFileSync(rigFile, HERON_YAML.replace('position: 2.5000 m', 'position: 2.5000 mV'));
  await panel.getByRole('button', { name: 'Check the file on disk' }).click();
  await panel.getByText('heron.yaml would not be taken: one mistake.').waitFor();
  await panel.getByText(`Line ${at + 1}, column ${(lines[at] ?? '').indexOf('2.5000') + 1}`).waitFor();
  await panel.getByText('The file as it was checked').click();
  expect((await panel.locator('.is-marked').textContent())?.trim()).toContain('2.5000 mV');
  writeFileSync(rigFile, HERON_YAML.replace('position: 2.5000 m', 'position: 2.5010 m'));
  await panel.getByRole('button', { name: 'Check the file on disk' }).click();
  await panel.getByText('It has been changed: start the host again to have it in force.').waitFor();
});

it('puts what is overdue first, and leads to the dialog that sets it right', async () => {
  await open(`token=${doors.crewToken}`);
  const first = region('Calibration').locator('.calibration-list').getByRole('listitem').first();
  await first.getByText('OVERDUE since 2026-03-01').waitFor();
  await first.getByRole('button', { name: /^Set right: / }).click();
  await page.getByRole('dialog', { name: /^Set right: / }).waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('dialog').waitFor({ state: 'detached' });
});

it('shows who is connected and the crew’s code to the crew', async () => {
  const onlooker = await pages.newPage();
  await onlooker.goto(`${server.url}wall#look=${doors.lookToken}`);
  await onlooker.getByText('Connected', { exact: true }).waitFor();
  await open(`token=${doors.crewToken}`);
  const rows = region('Pages open now').getByRole('row');
  await rows.nth(2).waitFor();
  expect(await rows.locator('td:last-child').allTextContents()).toEqual(['to look', 'the crew’s: may act']);
  await onlooker.close();
  await expect.poll(() => rows.count(), { timeout: 15_000 }).toBe(2);
  const tokens = region('Tokens');
  expect(await page.content()).not.toContain(doors.crewToken);
  await tokens.getByRole('button', { name: 'Show the crew’s code' }).click();
  await tokens.getByRole('img', { name: /to act/ }).waitFor();
  await tokens.getByRole('button', { name: 'Hide the crew’s code' }).click();
  expect(await tokens.getByRole('img').count()).toBe(0);
});

it('shows whoever may only look neither, and never the crew’s token, whatever the host is asked', async () => {
  const heard: Promise<string>[] = [];
  page.on('response', (answer) => heard.push(answer.text().catch(() => '')));
  page.on('websocket', (socket) => socket.on('framereceived', ({ payload }) => heard.push(Promise.resolve(String(payload)))));
  await open(`look=${doors.lookToken}`);
  await region('Pages open now').getByText('is shown to whoever may act').waitFor();
  await region('Tokens').getByText('may only look.').waitFor();
  await region('Rig file').getByText('The file, ').waitFor();
  for (const name of ['Show the crew’s code', 'Check the file on disk', /^Set right/]) {
    expect(await page.getByRole('button', { name }).count()).toBe(0);
  }
  const said = (await Promise.all(heard)).join('\n');
  expect(said).toContain('Cold Sike');
  expect(`${said}${await page.content()}`).not.toContain(doors.crewToken);
});
