/** The table of what each gate said: there for every shot, open by itself where it matters, and legible to all. */
import axe from 'axe-core';
import { beforeEach, expect, it } from 'vitest';
import type { Shot } from '../../protocol/index.ts';
import { crewDesk, NOW_NS } from '../support/crew-desk.ts';
import { fakeShot } from '../support/fake-shot.ts';

const REJECTED = { rejectedGate: 'B1', fragment: true, flags: ['edges-rejected', 'gate-rejected', 'single-pair'] } as const;

const desk = crewDesk();
beforeEach(() => desk.openPage());

async function fired(shot: Shot, phase: 'measured' | 'closed' = 'closed'): Promise<void> {
  desk.tell({ type: 'shot', phase, atNs: NOW_NS, shot });
  await desk.page.getByRole('heading', { name: `Shot ${shot.number}`, exact: true }).waitFor();
}

const summary = () => desk.page.getByText('What each gate said');
const table = () => desk.page.getByRole('region', { name: 'What each gate said' });
const row = (gate: string) =>
  table()
    .getByRole('row')
    .filter({ has: desk.page.getByRole('rowheader', { name: gate }) });

it('is folded where nothing is amiss, has every gate, and stays as it was left', async () => {
  await fired(fakeShot({ number: 1 }));
  expect(await table().isVisible()).toBe(false);
  await summary().click();
  expect(await table().getByRole('rowheader').allInnerTexts()).toEqual(
    ['A1', 'A2', 'B1', 'B2'].map((gate) => expect.stringContaining(gate)),
  );
  for (const text of ['9.000 m', 'used', '+0.38 µs', '(+1.2 u)', '58.9 mm', '317.23 ± 0.66 m/s'])
    expect(await row('B1').textContent()).toContain(text);
  expect(await row('B1').getByRole('img', { name: 'late by 1.2 times its standard uncertainty' }).isVisible()).toBe(true);
  await fired(fakeShot({ number: 2 }));
  expect(await table().isVisible()).toBe(true);
  await desk.page.getByRole('radio', { name: 'US' }).check();
  expect(await row('B1').textContent()).toContain('29.528 ft');
  await desk.page.getByRole('radio', { name: 'SI' }).check();
});

it('opens by itself for a rejected gate, with what it measured, and folds again for a shot with nothing amiss', async () => {
  await fired(fakeShot({ number: 1, ...REJECTED }));
  await table().waitFor();
  for (const text of ['rejected', '✕ 2 edges: disagrees with all other gates', '+12.40 µs', '(+40 u)'])
    expect(await row('B1').textContent()).toContain(text);
  expect(await row('B1').getByRole('img', { name: 'late by 40.0 times its standard uncertainty' }).isVisible()).toBe(true);
  expect(await row('A1').textContent()).toContain('✕ 2 edges: ahead of the projectile');
  expect(await desk.page.locator('.edge-words').textContent()).toMatch(/B1 rejected/);
  await fired(fakeShot({ number: 2 }));
  await table().waitFor({ state: 'hidden' });
});

it('opens when the flag comes with a later word on the same shot', async () => {
  await fired(fakeShot({ number: 1 }), 'measured');
  expect(await table().isVisible()).toBe(false);
  await fired(fakeShot({ number: 1, flags: ['gate-doubtful'] }));
  await table().waitFor();
});

it('has a row for a gate that saw nothing', async () => {
  const whole = fakeShot({ number: 1, flags: ['gate-missed'] });
  const seen = ({ gate }: { readonly gate: string }) => gate !== 'A2';
  await fired({ ...whole, passages: whole.passages.filter(seen), edges: whole.edges.filter(seen) });
  await table().waitFor();
  for (const text of ['2.500 m', 'saw nothing']) expect(await row('A2').textContent()).toContain(text);
});

it('has drop and time of flight among the figures, and a budget for every result', async () => {
  await fired(fakeShot({ number: 1 }));
  for (const name of [/^Time of flight muzzle to target 35\.592 ± 0\.018 ms$/, /^Drop at the target 6\.2050 ± 0\.0080 mm$/])
    expect(await desk.page.getByRole('row', { name }).isVisible()).toBe(true);
  await desk.page.getByText('Uncertainty budgets').click();
  expect(await desk.page.getByRole('region', { name: /^Budget of / }).count()).toBe(17);
});

it.each([
  [1280, 'light'],
  [1280, 'dark'],
  [390, 'light'],
  [390, 'dark'],
] as const)('%i px, %s: no sideways scrolling of the page, no accessibility violation', async (width, colorScheme) => {
  await desk.page.setViewportSize({ width, height: 860 });
  await desk.page.emulateMedia({ colorScheme });
  await fired(fakeShot({ number: 1, ...REJECTED }));
  await table().waitFor();
  expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
  await desk.page.evaluate(axe.source);
  const { violations, passes } = await desk.page.evaluate<axe.AxeResults>("axe.run(document.querySelector('.shot'))");
  // Else it looked at nothing.
  expect(passes.length).toBeGreaterThan(10);
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`)).toEqual([]);
});
