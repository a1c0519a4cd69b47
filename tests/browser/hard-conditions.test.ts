/** A slow line, a page out of sight, ten thousand shots. */
import { expect, it } from 'vitest';
import { crewDesk, NOW_NS } from '../support/crew-desk.ts';
import { fakeShot } from '../support/fake-shot.ts';

const desk = crewDesk();
const closed = (number: number, muzzleMps = 300) =>
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number, muzzleMps }) });

/** A phone at the edge of its net. */
const SLOW = { offline: false, latency: 300, downloadThroughput: 50_000, uploadThroughput: 20_000 };

it('comes up over a slow line, says how long the host is gone, and has what was missed when it is back', async () => {
  await desk.newPage();
  const line = await desk.page.context().newCDPSession(desk.page);
  await line.send('Network.enable');
  await line.send('Network.emulateNetworkConditions', SLOW);
  await desk.page.goto(desk.server.url);
  await desk.page.getByText('Connected', { exact: true }).waitFor();
  const { port } = desk.server;
  await desk.server.close();
  const strip = desk.page.getByRole('region', { name: 'Alarms' });
  await strip.getByText('Connection to the host lost.').waitFor();
  await expect.poll(() => strip.textContent()).toMatch(/[1-9]\d*(\.\d)? s/);
  expect(await desk.sign().textContent()).not.toBe('READY');
  closed(7, 401.5);
  await desk.serve(port);
  await desk.page.getByText('Connected', { exact: true }).waitFor();
  await desk.page.getByRole('region', { name: 'Newest shot: 7' }).getByText('401.50').waitFor();
});

/** As a browser tells a page: one without a screen never does. */
const HIDEABLE = `(() => {
  let isHidden = false;
  Object.defineProperty(document, 'hidden', { get: () => isHidden });
  window.__hide = (wanted) => { isHidden = wanted; document.dispatchEvent(new Event('visibilitychange')); };
})()`;

it.each([
  ['lets go of the line', ''],
  ['keeps the line where it is to sound alarms', "localStorage.setItem('postern.sound', 'on');"],
] as const)('out of sight %s, and has what was missed when it is seen again', async (_name, first) => {
  await desk.newPage();
  await desk.page.clock.install();
  await desk.page.addInitScript(`${first}${HIDEABLE}`);
  let lines = 0;
  desk.page.on('websocket', (socket) => {
    lines += 1;
    socket.on('close', () => {
      lines -= 1;
    });
  });
  await desk.page.goto(desk.server.url);
  await desk.page.getByText('Connected', { exact: true }).waitFor();
  await desk.page.evaluate('window.__hide(true)');
  await desk.page.clock.runFor(4_000);
  expect(lines, 'a look at something else').toBe(1);
  await desk.page.clock.runFor(4_000);
  await expect.poll(() => lines).toBe(first === '' ? 0 : 1);
  closed(3);
  await desk.page.evaluate('window.__hide(false)');
  await desk.page.getByRole('region', { name: 'Newest shot: 3' }).waitFor();
  await desk.page.getByText('Connected', { exact: true }).waitFor();
  expect(lines).toBe(1);
});

it('shows the newest of ten thousand shots, and no more rows than a crew reads', async () => {
  await desk.openPage();
  const one = fakeShot({ number: 1 });
  for (let number = 1; number <= 10_000; number += 1) {
    desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: { ...one, id: `cs-2026-03-14-a-${number}`, number } });
  }
  await desk.page.getByRole('region', { name: 'Newest shot: 10000' }).waitFor();
  expect(await desk.page.locator('tr').count()).toBeLessThan(200);
  closed(10_001, 299.25);
  await desk.page.getByRole('region', { name: 'Newest shot: 10001' }).getByText('299.25').waitFor();
  expect(desk.complaints).toEqual([]);
});
