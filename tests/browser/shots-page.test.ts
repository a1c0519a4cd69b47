/** The page of all shots: ten thousand of them, found and put in order by the address, compared, noted and left out, by everybody. */
import axe from 'axe-core';
import { expect, it } from 'vitest';
import { crewDesk, NARROW, NARROWEST, NOW_NS, TOKEN, WIDE } from '../support/crew-desk.ts';
import { fakePast, pastRow } from '../support/fake-history.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { known } from '../support/known.ts';

const COUNT = 10_000;
const past = fakePast(COUNT);
const desk = crewDesk();
desk.history = past.history;
desk.store = past.store;

const list = () => desk.page.locator('.listed tbody tr');
const status = () => desk.page.locator('.list-head [role=status]');
const search = (): string => new URL(desk.page.url()).search;
const newest = pastRow(COUNT - 1);
const second = pastRow(COUNT - 2);
const earlier = pastRow(COUNT - 45);

async function open(question = '', as = ''): Promise<void> {
  await (as === '' ? desk.openPage() : desk.openAs(as));
  await desk.page.goto(new URL(`shots${question}`, desk.server.url).href);
  await list().first().waitFor();
}

it('lists ten thousand shots a page at a time, and the address says what is asked', async () => {
  await open();
  await expect.poll(() => status().textContent()).toBe(`${COUNT} shots, 1 to 50 shown`);
  expect(await list().count()).toBe(50);
  await desk.page.getByRole('button', { name: 'Last page of shots' }).first().click();
  await expect.poll(() => list().last().textContent()).toContain('2024-01-08 09:00:40');
  expect(search()).toBe('?page=200');
  await desk.page.getByLabel('Muzzle from, m/s').fill('300');
  await desk.page.getByLabel('Muzzle to, m/s').fill('302,5');
  await desk.page.getByLabel(/^Flags/).selectOption({ label: 'Gate missed' });
  await desk.page.getByRole('button', { name: 'Muzzle' }).click();
  const expected = Array.from({ length: COUNT }, (_, i) => pastRow(i)).filter(
    ({ muzzleVelocityMps: v, flags }) => v !== null && v >= 300 && v <= 302.5 && flags.includes('gate-missed'),
  ).length;
  await expect.poll(() => status().textContent()).toBe(`${expected} of ${COUNT} shots`);
  expect(Object.fromEntries(new URLSearchParams(search()))).toEqual({ flags: 'gate-missed', velocity: '300..302.5', order: '-velocity' });
  const before = await list().first().textContent();
  await desk.page.reload();
  await expect.poll(() => status().textContent()).toBe(`${expected} of ${COUNT} shots`);
  expect(await list().first().textContent()).toBe(before);
  expect(await desk.page.getByLabel('Muzzle from, m/s').inputValue()).toBe('300');
  // The same shots for whoever reads in other units.
  await desk.page.getByRole('radio', { name: 'US' }).check();
  await expect.poll(() => desk.page.getByLabel('Muzzle from, ft/s').inputValue()).toBe('984.252');
  expect(await status().textContent()).toBe(`${expected} of ${COUNT} shots`);
  await desk.page.getByLabel('Mach from').fill('fast');
  expect(await desk.page.getByLabel('Mach from').getAttribute('aria-invalid')).toBe('true');
  await desk.page.getByRole('button', { name: 'Clear 2 filters' }).click();
  await expect.poll(() => status().textContent()).toContain(`${COUNT} shots`);
  expect(desk.complaints).toEqual([]);
});

it('has a shot in its list as soon as it is heard, before the store has it', async () => {
  await open();
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1, openedAtMs: Date.UTC(2031, 0, 1) }) });
  await expect.poll(() => list().first().textContent()).toContain('2031-01-01');
  await expect.poll(() => status().textContent()).toContain(`${COUNT + 1} shots`);
});

it('lays chosen shots side by side by keyboard alone, and the address brings them back', async () => {
  await open(`?session=${newest.session}`);
  await desk.page.getByLabel(`Choose shot ${newest.number} of`).focus();
  await desk.page.keyboard.press('Space');
  await desk.page.getByRole('img', { name: /Range to scale/ }).waitFor();
  await desk.page.getByLabel(`Choose shot ${second.number} of`).focus();
  await desk.page.keyboard.press('Space');
  await desk.page.getByRole('img', { name: '2 shots: velocity along the range' }).waitFor();
  expect(new URLSearchParams(search()).get('chosen')).toBe(`${newest.id},${second.id}`);
  await desk.page.goto(new URL(`shots?chosen=${newest.id},${earlier.id},no-such-shot`, desk.server.url).href);
  const region = desk.page.getByRole('region', { name: 'Chosen shots' });
  await region.getByText('no-such-shot: the host has no such shot').waitFor();
  const muzzle = region.locator('.compared-table tr').filter({ hasText: 'Muzzle velocity' });
  await expect
    .poll(() => muzzle.locator('td').allTextContents())
    .toEqual([newest, earlier].map(({ muzzleVelocityMps }) => `${muzzleVelocityMps?.toFixed(2)} ± 0.14 m/s`));
  expect(await region.getByRole('img').count()).toBe(4);
  await region.getByRole('button', { name: 'Put no-such-shot away' }).click();
  await region.getByText('no-such-shot').waitFor({ state: 'detached' });
  expect(desk.complaints).toEqual([]);
});

it('leaves out, takes in again and notes a shot of an earlier session, and tells it apart from one of this session', async () => {
  await open(`?chosen=${newest.id}`, 'Wren');
  const region = desk.page.getByRole('region', { name: 'Chosen shots' });
  await region.getByText('A shot of session').waitFor();
  await region.getByText('can be told only while its own session runs').waitFor();
  expect(await region.getByRole('button', { name: /Enter mass|Enter impact/ }).count()).toBe(0);
  past.acts.push({
    session: 'cs-2026-03-14-a',
    at: '2026-03-14T09:30:15.000000Z',
    event: { type: 'note', atNs: NOW_NS, text: 'kept long ago', shotId: newest.id, who: 'Ane' },
  });
  await region.getByLabel('left out of every mean and fit').fill('film torn <b>');
  await region.getByRole('button', { name: 'Leave out' }).click();
  await region.getByRole('button', { name: 'Take in again' }).waitFor();
  await region.getByText('Note: kept long ago').waitFor();
  await expect.poll(() => list().first().textContent()).toContain('Left out: film torn <b> (Wren)');
  await region.getByLabel(`Note on shot ${newest.number}`).fill('ball found');
  await region.getByRole('button', { name: 'Write down' }).click();
  await expect.poll(() => list().first().textContent()).toContain('ball found');
  await region.getByLabel('is taken in again').fill('film was whole');
  await region.getByRole('button', { name: 'Take in again' }).click();
  await expect.poll(() => list().first().textContent()).not.toContain('Left out');
  const place = { shotId: newest.id, sessionId: newest.session, who: 'Wren' };
  expect(desk.crew.acts).toEqual([
    { act: 'exclude', ...place, excluded: true, reason: 'film torn <b>' },
    { act: 'note', ...place, text: 'ball found' },
    { act: 'exclude', ...place, excluded: false, reason: 'film was whole' },
  ]);
  const own = fakeShot({ number: 1 });
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: own });
  await desk.page.goto(new URL(`shots?chosen=${own.id}`, desk.server.url).href);
  await region.getByLabel('left out of every mean and fit').fill('wrong ball');
  await region.getByRole('button', { name: 'Leave out' }).click();
  await region.getByRole('button', { name: 'Take in again' }).waitFor();
  expect(desk.crew.acts.at(-1)).toEqual({ act: 'exclude', shotId: own.id, excluded: true, reason: 'wrong ball', who: 'Wren' });
  expect(desk.complaints).toEqual([]);
});

it('weighs the projectile of a shot of this session and tells where it struck, from the page Shot as well', async () => {
  await open('', 'Wren');
  const own = fakeShot({ number: 1 });
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: own });
  await desk.page.goto(new URL(`shot#shot=${own.id}`, desk.server.url).href);
  await desk.page.getByText('History of shot 1').click();
  const enter = desk.page.getByRole('button', { name: 'Enter mass' });
  const why = desk.page.getByLabel('Why the projectile of shot 1 has another mass');
  await why.fill('weighed on the balance');
  await desk.page.getByLabel('Mass, g').fill('125,4');
  await desk.page.getByLabel('± (95 %), g').fill('a little');
  expect(await enter.isDisabled()).toBe(true);
  await desk.page.getByLabel('± (95 %), g').fill('0.1');
  await enter.click();
  await expect.poll(() => why.inputValue()).toBe('');
  const [act] = desk.crew.acts;
  if (act?.act !== 'weigh') throw new Error('a mass was to be sent');
  expect(act).toMatchObject({ shotId: own.id, reason: 'weighed on the balance', who: 'Wren' });
  expect(act.mass?.valueKg).toBeCloseTo(0.1254, 12);
  expect(act.mass?.standardUncertaintyKg).toBeCloseTo(5e-5, 12);
  const weighed = { ...known(act.mass), atNs: NOW_NS, reason: act.reason, who: 'Wren' };
  const insteadOf = { valueKg: 0.126, standardUncertaintyKg: 1e-4 };
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: { ...own, weighed: { ...weighed, insteadOf } } });
  await desk.page.getByLabel('Why the rig file’s mass counts again for shot 1').fill('wrong ball');
  await desk.page.getByRole('button', { name: 'Rig file’s mass' }).click();
  await expect.poll(() => desk.crew.acts.at(-1)).toEqual({ act: 'weigh', shotId: own.id, reason: 'wrong ball', who: 'Wren' });
  await desk.page.getByLabel('Right (left −), mm').fill('12');
  await desk.page.getByLabel('Up (down −), mm').fill('-5');
  await desk.page.getByRole('button', { name: 'Enter impact' }).click();
  await expect.poll(() => desk.crew.acts.at(-1)).toMatchObject({ act: 'impact', shotId: own.id, at: { rightM: 0.012, upM: -0.005 } });
  expect(desk.complaints).toEqual([]);
});

it('says what was refused and keeps what was written', async () => {
  desk.turnedAway = { status: 200, body: { accepted: false, why: 'the session is ending' } };
  await open(`?chosen=${newest.id}`, 'Wren');
  await desk.page.getByLabel('left out of every mean and fit').fill('film torn');
  await desk.page.getByRole('button', { name: 'Leave out' }).click();
  await desk.page.getByText('The session is ending.').waitFor();
  expect(await desk.page.getByLabel('left out of every mean and fit').inputValue()).toBe('film torn');
});

it('a page that may only look is offered no act', async () => {
  await open(`?chosen=${newest.id}`);
  await desk.page.getByText('Nothing was done to it.').or(desk.page.getByText('kept long ago')).waitFor();
  expect(await desk.page.getByRole('button', { name: 'Leave out' }).count()).toBe(0);
});

it.each([
  ['narrowest, dark', NARROWEST, 'dark'],
  ['narrow, light', NARROW, 'light'],
  ['wide, dark', WIDE, 'dark'],
] as const)('fits, can be touched, and is free of what axe finds: %s', async (_, viewport, colorScheme) => {
  await desk.newPage();
  await desk.page.setViewportSize(viewport);
  await desk.page.emulateMedia({ colorScheme });
  await desk.page.goto(new URL(`shots?session=${newest.session}&chosen=${newest.id},${second.id}#token=${TOKEN}`, desk.server.url).href);
  await desk.page.getByRole('img', { name: '2 shots: velocity along the range' }).waitFor();
  await desk.page.getByText('In numbers').first().click();
  await desk.page
    .getByText(/^History of/)
    .first()
    .click();
  if (viewport !== WIDE) await desk.page.getByText('Filters and order').click();
  expect(await desk.page.evaluate('document.documentElement.scrollWidth')).toBe(viewport.width);
  const small = await desk.page.evaluate<
    string[]
  >(`[...document.querySelectorAll('main :is(button, a, label.choose, input[type=text], textarea, select, summary)')]
    .filter((each) => each.checkVisibility()).map((each) => [each.textContent, each.getBoundingClientRect()])
    .filter(([, box]) => box.width < 44 || box.height < 44).map(([text, box]) => text + ' ' + box.width + ' × ' + box.height)`);
  expect(small).toEqual([]);
  if (viewport === NARROWEST) return;
  await desk.page.evaluate(axe.source);
  const { violations } = await desk.page.evaluate<axe.AxeResults>('axe.run("main")');
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`)).toEqual([]);
});
