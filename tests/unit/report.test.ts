/** The session report: whole, self-contained, and with whatever people wrote only shown. */
import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openDataFolder } from '../../host/cli/data/data-folder.ts';
import { rebuildStore } from '../../host/cli/data/rebuild.ts';
import { gatherReport, type ReportFacts } from '../../host/cli/report/gather.ts';
import { reportPage } from '../../host/cli/report/report-page.ts';
import { scratchFolder } from '../support/command.ts';
import { crewActs } from '../support/session-acts.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const HOSTILE = '"><script>alert(1)</script><img src=x onerror=alert(2)>\u202e';
const scratch = scratchFolder();
const folder = openDataFolder(scratch.path);
let facts: ReportFacts;
let page: string;

beforeAll(async () => {
  mkdirSync(folder.journals, { recursive: true });
  const acts = [
    ...crewActs('virtual', 5.2),
    { atS: 5.4, act: { act: 'note', text: HOSTILE, shotId: 'virtual-001', who: HOSTILE } as const },
    { atS: 5.5, act: { act: 'note', text: `whole session ${HOSTILE}` } as const },
  ];
  const rigText = `${HERON_YAML}\nacceptance:\n  - { name: '<b>panel</b> & "edge"', of: target-velocity, from: 200 m/s }\nagreement: { pairs: [A, B], within: 6 m/s }\n`;
  await writeVirtualJournal(join(folder.journals, 'virtual.mcap'), { seed: 3, shots: 3, acts, rigText });
  await rebuildStore(scratch.path, { dropMissing: false, onProgress: () => undefined, onTrouble: (text) => expect(text).toBe('') });
  facts = await gatherReport(folder, 'virtual');
  page = reportPage(facts, { units: 'SI', madeAt: '2026-03-02T12:00:00.000Z', softwareVersion: '0.1.0' });
}, 60_000);
afterAll(() => scratch.remove());

test('it needs nothing from elsewhere and runs nothing', () => {
  expect(page).not.toMatch(/<script|<link|<img|<iframe|<object|@import|<[^>]*\son\w+=|<[^>]*javascript:/i);
  expect([...page.matchAll(/\b(?:src|href)="([^"]*)"/g)].map(([, to]) => to).filter((to) => !to?.startsWith('#'))).toEqual([]);
  expect([...page.matchAll(/url\(([^)]*)\)/g)].map(([, to]) => to).filter((to) => !to?.startsWith('#'))).toEqual([]);
  expect(page).toContain('default-src &#39;none&#39;');
});

test('what people wrote is only shown', () => {
  expect(page).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
  expect(page).toContain('&lt;b&gt;panel&lt;/b&gt; &amp; &quot;edge&quot;');
  expect(page).not.toContain('\u202e');
});

test('every tag that is opened is closed', () => {
  const open: string[] = [];
  const isVoid = new Set(['meta', '!doctype', 'br']);
  for (const [, closing, name = '', self] of page.matchAll(/<(\/?)([a-zA-Z!][\w]*)(?:\s[^>]*?)?(\/?)>/g)) {
    if (isVoid.has(name.toLowerCase()) || self === '/') continue;
    if (closing) expect(open.pop()).toBe(name);
    else open.push(name);
  }
  expect(open).toEqual([]);
});

test('it holds all that belongs to a session', () => {
  const { shots } = facts;
  expect(shots).toHaveLength(3);
  for (const { number, id } of shots) {
    expect(page).toContain(`id="shot-${number}"`);
    expect(page).toContain(id);
    for (const name of ['flight', 'reservoir', 'barrel', 'range']) expect(page).toContain(`id="shot-${number}-${name}-title"`);
  }
  for (const title of ['Shots', 'Pressure–velocity map', 'Drag', 'Rig', 'Air', 'Hold points', 'Uncertainty', 'Where to look it up'])
    expect(page).toContain(`<h2>${title}</h2>`);
  for (const words of ['film torn', 'Bo', '2026-02-10', '2028-02-10', 'Caution', '125.40 g', 'record', 'JCGM 100:2008', '126.00 g ± 0.20'])
    expect(page).toContain(words);
  expect(page).toContain('Shot 1: left out');
});

test('what later sessions did stands with its shot: when, who, what, and in which journal', () => {
  const about = { atNs: 5e9, shotId: 'virtual-002', sessionId: 'virtual', who: HOSTILE };
  const laterActs: ReportFacts['laterActs'] = [
    { session: 'monday', at: '2026-03-09T09:00:05.000000Z', event: { type: 'note', text: 'film looked at again', ...about } },
    { session: 'tuesday', at: '', event: { type: 'shot-excluded', excluded: true, reason: 'ball was chipped', ...about } },
  ];
  const shots = facts.shots.map((shot) =>
    shot.number === 2 ? { ...shot, exclusion: { atNs: 5e9, sessionId: 'tuesday', reason: 'ball was chipped', who: 'Ola' } } : shot,
  );
  const options = { units: 'SI', madeAt: '2026-03-12T12:00:00.000Z', softwareVersion: '0.1.0' } as const;
  const sections = reportPage({ ...facts, shots, laterActs }, options).split('<section class="shot"');
  expect(sections.filter((text) => text.includes('What later sessions did'))).toHaveLength(1);
  const second = sections[2] ?? '';
  expect(second).toMatch(/id="shot-2"[\s\S]*by Ola in session tuesday: ball was chipped/);
  expect(second).toMatch(/2026-03-09 09:00:05 UTC<\/th><td>&quot;&gt;&lt;script[^\n]*note: film looked at again<\/td><td>monday\.mcap/);
  expect(second).toMatch(/not known<\/th>[^\n]*left out of every mean and fit: ball was chipped<\/td><td>tuesday\.mcap/);
});

test('what cameras have of a shot is told in words', () => {
  expect(page).toMatch(/Camera side, clip side-001\.avi, told by Bo: (They|Camera|No|The)/);
});

test('ids are unique', () => {
  const ids = [...page.matchAll(/\sid="([^"]*)"/g)].map(([, id]) => id);
  expect(ids.length).toBe(new Set(ids).size);
});

test('in US units it says so everywhere', () => {
  const us = reportPage(facts, { units: 'US', madeAt: '2026-03-02T12:00:00.000Z', softwareVersion: '0.1.0' });
  expect(us).toContain('ft/s');
  expect(us).toContain('psi');
});

describe('where something is missing', () => {
  test('a session that there is not is one sentence', async () => {
    await expect(gatherReport(folder, 'never')).rejects.toThrow(/There is no session never/);
  });

  test('without its journal a report is still made, and says so', async () => {
    rmSync(join(folder.journals, 'virtual.mcap'));
    const bare = await gatherReport(folder, undefined);
    expect(bare.journal).toBeUndefined();
    const text = reportPage(bare, { units: 'SI', madeAt: '2026-03-02T12:00:00.000Z', softwareVersion: '0.1.0' });
    expect(text).toContain('not in its folder');
    expect(text).toContain('id="shot-3"');
  });
});
