/** The drag on its page, and the session report in a browser and on paper. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import axe from 'axe-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { dragCurves } from '../../host/analysis/drag/index.ts';
import { openDataFolder } from '../../host/cli/data/data-folder.ts';
import { rebuildStore } from '../../host/cli/data/rebuild.ts';
import { report } from '../../host/cli/report/report.ts';
import type { DragReport } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { crewDesk, NARROW, WIDE } from '../support/crew-desk.ts';
import { dragCampaign } from '../support/drag/drag-campaign.ts';
import { HERON_RIG } from '../support/heron.ts';
import { crewActs } from '../support/session-acts.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const desk = crewDesk();
const scratch = scratchFolder();
afterAll(() => scratch.remove());

describe('the drag page', () => {
  const told: DragReport = dragCurves(dragCampaign(HERON_RIG, { seed: 4, shots: 8, muzzleMps: [300, 480], scatter: 0.003 }).shots);

  async function open(answer: DragReport | null): Promise<void> {
    await desk.openPage();
    await desk.page.route('**/api/drag', (route) => route.fulfill({ json: answer }));
    await desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Drag' }).click();
  }

  it.each([NARROW, WIDE])('shows curve, band and shots at $width px, with the numbers behind them, for everybody', async (size) => {
    await open(told);
    await desk.page.setViewportSize(size);
    await desk.page.getByRole('img', { name: /^Drag of polyamide ball/ }).waitFor();
    const rows = desk.page.getByRole('region', { name: 'Shots of the drag curve, by Mach' }).getByRole('row');
    expect(await rows.count()).toBe(1 + 8);
    const points = told.kinds[0]?.points ?? [];
    expect(await rows.nth(1).textContent()).toContain(points[0]?.mach.toFixed(3));
    expect(await desk.page.locator('.chart-mark').count()).toBeGreaterThanOrEqual(8);
    expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0);
    // By keyboard to the numbers, which may scroll.
    await desk.page.getByRole('region', { name: 'The drag curve, by Mach', exact: true }).focus();
    await desk.page.evaluate(axe.source);
    const { violations } = await desk.page.evaluate<axe.AxeResults>('axe.run()');
    expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
    expect(desk.complaints).toEqual([]);
  });

  it('says that there are no curves where the host makes none', async () => {
    await open(null);
    await desk.page.getByText('This host makes no drag curve for its pages.').waitFor();
  });
});

describe('the session report', () => {
  const file = join(scratch.path, 'report.html');
  beforeAll(async () => {
    const { journals } = openDataFolder(scratch.path);
    await writeVirtualJournal(join(journals, 'virtual.mcap'), { seed: 3, shots: 3, acts: crewActs('virtual', 5.2) });
    await rebuildStore(scratch.path, { dropMissing: false, onProgress: () => undefined, onTrouble: (text) => expect(text).toBe('') });
    await report('virtual', { data: scratch.path, out: file, units: 'SI' });
  });

  it('asks for nothing else, fits a phone, and everybody can read it', async () => {
    await desk.openPage();
    const asked: string[] = [];
    desk.page.on('request', (request) => asked.push(request.url()));
    await desk.page.goto(`file://${file}`);
    await desk.page.setViewportSize(NARROW);
    expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0);
    expect(asked).toEqual([`file://${file}`]);
    await desk.page.evaluate(axe.source);
    const { violations } = await desk.page.evaluate<axe.AxeResults>('axe.run()');
    expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
    expect(await desk.page.locator('section.shot').count()).toBe(3);
    expect(await desk.page.locator('figure svg').count()).toBeGreaterThanOrEqual(3 * 4);
  });

  it.each(['A4', 'Letter'] as const)('prints on %s, each shot from a page of its own on', async (format) => {
    await desk.openPage();
    await desk.page.goto(`file://${file}`);
    const path = join(scratch.path, `${format}.pdf`);
    await desk.page.pdf({ path, format });
    const pdf = readFileSync(path, 'latin1');
    const sheets = [...pdf.matchAll(/\/Type\s*\/Page\b(?!s)/g)].length;
    // Head, map, drag, rig, air and words, two sheets a shot, and the rig file.
    expect(sheets).toBeGreaterThanOrEqual(9);
    expect(sheets).toBeLessThanOrEqual(20);
    const [, width] = /\/MediaBox\s*\[0 0 ([\d.]+)/.exec(pdf) ?? [];
    // Chromium rounds a sheet up to its own pixels.
    expect(Math.abs(Number(width) - (format === 'A4' ? 595.28 : 612))).toBeLessThan(1);
    // Nothing runs over the edge of the sheet.
    await desk.page.emulateMedia({ media: 'print' });
    await desk.page.setViewportSize({ width: format === 'A4' ? 688 : 710, height: 900 });
    expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0);
  });
});
