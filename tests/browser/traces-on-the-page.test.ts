/** Further channels that scroll: chosen, remembered, taken away again; and what a strange memory does. */
import { expect, it } from 'vitest';
import { crewDesk } from '../support/crew-desk.ts';

const desk = crewDesk();
const panel = () => desk.page.getByRole('region', { name: 'Pressures' });
const shown = () => panel().locator('figcaption').allTextContents();
const choose = () => panel().getByLabel('One more trace');

it('shows the channel that was chosen, with its unit, after a reload too, until it is taken away', async () => {
  await desk.openPage();
  expect(await shown()).toHaveLength(2);
  await choose().selectOption({ label: 'Air temperature' });
  await panel().getByRole('img', { name: 'Air temperature against time' }).waitFor();
  expect((await shown())[2]).toMatch(/^Air temperature +°CTake away$/);
  await desk.page.reload();
  await panel().getByRole('img', { name: 'Air temperature against time' }).waitFor();
  expect(await choose().locator('option').allTextContents()).not.toContain('Air temperature');
  await panel().getByRole('button', { name: 'Take the trace away: Air temperature' }).click();
  await expect.poll(shown).toHaveLength(2);
  expect(await choose().locator('option').allTextContents()).toContain('Air temperature');
  expect(desk.complaints).toEqual([]);
});

it.each([
  ['nothing of ours', 'not JSON', 2],
  ['no list', '{"a":1}', 2],
  ['what this rig does not have, twice, and no names', '["gone","airPressure","airPressure",7,""]', 3],
] as const)('with a memory of %s it shows what there is', async (_name, stored, count) => {
  await desk.openPage('', `localStorage.setItem('postern.traces', ${JSON.stringify(stored)})`);
  await expect.poll(shown).toHaveLength(count);
  expect(desk.complaints).toEqual([]);
});
