/** The page of all rigs: what the server says of them, what is amiss with it, and what a host without one says. */
import axe from 'axe-core';
import { expect, it } from 'vitest';
import { crewDesk, NARROWEST } from '../support/crew-desk.ts';
import { fakeSeries } from '../support/fake-fleet.ts';

const desk = crewDesk();

async function openFleet(series = desk.series): Promise<void> {
  await desk.server.close();
  desk.series = series;
  await desk.serve(0);
  desk.series = undefined;
  await desk.openPage('fleet');
}
const region = (name: string) => desk.page.getByRole('region', { name });

it('shows every rig with its state and last shot, and the shots of all', async () => {
  await openFleet(fakeSeries());
  await desk.page.getByRole('heading', { name: 'Heron Cold Sike' }).waitFor();
  const rigs = await region('Rigs').getByRole('listitem').allInnerTexts();
  const texts = rigs.map((text) => text.replace(/\s+/g, ' '));
  expect(texts).toEqual([
    expect.stringMatching(/^Curlew Cold Sike Session over for 2 h 337\.\d+ m\/s at 09:18:00 UTC Links up: 0 of 4\. Shots: 2\.$/),
    expect.stringMatching(/^Dunlin Cold Sike SILENT for 95 s 324\.\d+ m\/s at 09:22:00 UTC Links up: 3 of 4\. Shots: 2\.$/),
    expect.stringMatching(
      /^Heron Cold Sike Running 312\.\d+ m\/s at 09:26:00 UTC Links up: 4 of 4\. Shots: 2\. Alarms: 1\. Warnings: 2\.$/,
    ),
    'Plover Cold Sike Running No shot Links up: 4 of 4. Shots: 0.',
  ]);
  const rows = await region('Shots of all rigs, newest first').getByRole('row').allInnerTexts();
  expect(rows.slice(1).map((row) => row.split(/\s/)[0])).toEqual(['Heron', 'Dunlin', 'Curlew', 'Heron']);
  expect(rows[4]).toContain('excluded');
  await desk.page.getByText('Sent to victoria-metrics at http://127.0.0.1:8428.').waitFor();
  expect(desk.complaints).toEqual([]);
});

it('says on the page of the rig what is amiss with the sending', async () => {
  const problem = 'The server takes nothing now: connect ECONNREFUSED 127.0.0.1:8428.';
  const refusals = [{ line: 'sample,rig=Heron value=1 1', reason: '400 <b>field type conflict</b>' }];
  await desk.server.close();
  desk.series = fakeSeries({ state: { state: 'waiting', problem, warnings: ['It was started without its merge setting.'], refusals } });
  await desk.serve(0);
  desk.series = undefined;
  await desk.openPage();
  const boards = region('Boards and instruments');
  await boards.getByText(`NOT SENT to victoria-metrics at http://127.0.0.1:8428 now. ${problem} The journal keeps all of it`).waitFor();
  await boards.getByText('It was started without its merge setting.').waitFor();
  await boards.getByText('Refused (400 <b>field type conflict</b>): sample,rig=Heron value=1 1').waitFor();
});

it('says that the server does not answer, and that a host has none', async () => {
  await openFleet(fakeSeries({ fleet: () => Promise.reject(new Error('connect ECONNREFUSED')) }));
  await desk.page.getByText('The rigs could not be asked for: the server of time series cannot be asked: connect ECONNREFUSED.').waitFor();
  await desk.page.close();
  await openFleet(undefined);
  await desk.page.getByText('This host sends to no server of time series').waitFor();
});

it.each([NARROWEST])('fits $width px, and everybody can use it', async (size) => {
  await openFleet(fakeSeries());
  await desk.page.setViewportSize(size);
  await desk.page.getByRole('heading', { name: 'Plover Cold Sike' }).waitFor();
  expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0);
  await desk.page.evaluate(axe.source);
  const { violations } = await desk.page.evaluate<axe.AxeResults>('axe.run()');
  expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
});
