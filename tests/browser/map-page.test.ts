/** The map on its page, the velocity to expect beside the fill, and the surprise at a shot. */
import axe from 'axe-core';
import { expect, it } from 'vitest';
import { campaignSources, deskOf } from '../support/campaigns/map-sources.ts';
import { crewDesk, NARROW, NOW_NS, WIDE } from '../support/crew-desk.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { watchEventsAt } from '../support/fake-watches.ts';

const desk = crewDesk();
const LEAKED = 7;
const MAPS = deskOf(campaignSources(11, (number) => (number === LEAKED ? 0.95 : 1)));

const openMap = async (): Promise<void> => {
  desk.maps = MAPS;
  await desk.openPage();
  await desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Map' }).click();
  await desk.page.locator('.chart-place svg').waitFor();
};

it('draws curves, bands and shots, has them in a table, names the shot that is off, and answers for a velocity by keyboard', async () => {
  await openMap();
  const chart = desk.page.getByRole('img', { name: /Heron/ });
  expect(await chart.locator('.chart-band').count()).toBeGreaterThanOrEqual(2);
  expect(await chart.locator('.chart-mark title').count()).toBe(12);
  expect(await desk.page.getByRole('region', { name: 'Shots of the map, by fill' }).locator('tbody tr').count()).toBe(12);
  expect(await desk.page.locator('tr').filter({ hasText: 'left out' }).textContent()).toContain('campaign-007');
  await desk.page.getByText(/Shot campaign-007: .*slower than the other shots give.*left out of the map/).waitFor();
  await desk.page.getByLabel(/^Velocity/).focus();
  await desk.page.keyboard.type('400');
  await desk.page.keyboard.press('Tab');
  await desk.page.keyboard.type('5');
  await desk.page.keyboard.press('Enter');
  expect(await desk.page.locator('.map-answer').textContent()).toMatch(
    /^Fill to 1\.\d{3} MPa gauge, 95 % between 1\.\d+ MPa gauge and 1\.\d+ MPa gauge/,
  );
  await desk.page.getByLabel(/^Velocity/).fill('545');
  await desk.page.keyboard.press('Enter');
  await desk.page.getByText(/What would help: a shot at/).waitFor();
  await desk.page.getByLabel(/^Velocity/).fill('fast');
  await desk.page.keyboard.press('Enter');
  await desk.page.getByText('Enter a velocity above zero.').waitFor();
  await desk.page.getByText('A suggestion, for what it would teach.').waitFor();
  expect(desk.complaints).toEqual([]);
});

it.each([
  ['narrow, light', NARROW, 'light'],
  ['wide, dark', WIDE, 'dark'],
] as const)('fits and is free of what axe finds: %s', async (_, viewport, colorScheme) => {
  await openMap();
  await desk.page.emulateMedia({ colorScheme });
  await desk.page.setViewportSize(viewport);
  expect(await desk.page.evaluate('document.documentElement.scrollWidth')).toBe(viewport.width);
  await desk.page.getByText('The curves in numbers').click();
  await desk.page.evaluate(axe.source);
  const { violations } = (await desk.page.evaluate('axe.run()')) as axe.AxeResults;
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`)).toEqual([]);
});

it('says before the shot what to expect, and after it to look where it was beyond the band', async () => {
  desk.maps = MAPS;
  desk.tell(...watchEventsAt(STEADY_NS));
  await desk.openPage();
  await desk.page
    .locator('.expected')
    .getByText(/m\/s, \d+\.\d to \d+\.\d/)
    .waitFor();
  const shot = { ...fakeShot({ number: 7, sessionId: 'campaign' }), id: 'campaign-007' };
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot });
  const alert = desk.page.getByRole('alert').filter({ hasText: 'Look before the next shot' });
  await alert.waitFor();
  expect(await alert.textContent()).toMatch(/slower.*standard deviations.*leak.*film.*projectile.*fill gauge/);
  expect(desk.complaints).toEqual([]);
});

it('a host without maps shows none, and complains of nothing', async () => {
  await desk.openPage();
  await desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Map' }).click();
  await desk.page.getByText('This host makes no map for its pages.').waitFor();
  expect(desk.complaints).toEqual([]);
});

/** Of the invented stream: the gas has settled. */
const STEADY_NS = 15e9;
