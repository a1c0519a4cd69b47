/** The page Shots: its address says what is asked and nothing else, and the list is what the question asks for. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { enteredNumber } from '../../dashboards/src/text/entered-number.ts';
import { listedShots } from '../../dashboards/src/text/listed-shots.ts';
import {
  ALL_SHOTS,
  CHOSEN_MAX,
  filterCount,
  ORDERS,
  questionOf,
  type ShotQuestion,
  searchOf,
} from '../../dashboards/src/text/shot-question.ts';
import { rowOfShot } from '../../dashboards/src/text/shot-row.ts';
import type { ShotTableRow } from '../../protocol/index.ts';
import { pastRow, pastShot } from '../support/fake-history.ts';

const number = fc.integer({ min: -1_000_000, max: 1_000_000_000 }).map((n) => n / 1000);
const span = fc.record({ from: number, to: number }, { requiredKeys: [] });
const word = fc.string({ unit: 'grapheme', maxLength: 8 });
const id = fc.stringMatching(/^[A-Za-z0-9][A-Za-z0-9_-]{0,20}$/);
const question: fc.Arbitrary<ShotQuestion> = fc.record({
  ...{ session: word, projectile: word, text: word, flags: word },
  counted: fc.constantFrom('', 'in', 'out'),
  spans: fc.record({ fill: span, velocity: span, mach: span }),
  by: fc.constantFrom(...ORDERS),
  isDescending: fc.boolean(),
  page: fc.integer({ min: 1, max: 999_999 }),
  chosen: fc.uniqueArray(id, { maxLength: CHOSEN_MAX }),
});

test('what is asked stands in the address and is read again as it was', () => {
  fc.assert(
    fc.property(question, (asked) => {
      expect(questionOf(searchOf(asked))).toEqual(asked);
    }),
  );
  expect(searchOf(ALL_SHOTS)).toBe('');
  expect(filterCount(ALL_SHOTS)).toBe(0);
});

test('whatever stands in an address, it is a bounded question that stands in an address', () => {
  const part = fc.constantFrom('session', 'fill', 'velocity', 'mach', 'order', 'page', 'chosen', 'counted', 'flags', 'text');
  const value = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 200 }),
    fc.constantFrom('1..', '..2', '9e99..', '-velocity', '0', '-1', 'a,b,a,,c,d,e,f,g,h'),
  );
  fc.assert(
    fc.property(fc.array(fc.tuple(part, value), { maxLength: 8 }), (parts) => {
      const read = questionOf(`?${new URLSearchParams(parts)}`);
      expect(read.chosen.length).toBeLessThanOrEqual(CHOSEN_MAX);
      expect(read.page).toBeGreaterThanOrEqual(1);
      for (const { from = 0, to = 0 } of Object.values(read.spans)) expect(Number.isFinite(from + to)).toBe(true);
      expect(questionOf(searchOf(read))).toEqual(read);
    }),
  );
  expect(questionOf('%%%?&=&&')).toEqual(ALL_SHOTS);
});

const holed = (row: ShotTableRow, hole: boolean): ShotTableRow =>
  hole ? { ...row, mach: null, muzzleVelocityMps: null, reservoirPressurePa: null } : row;
const rows = fc
  .uniqueArray(fc.tuple(fc.integer({ min: 0, max: 400 }), fc.boolean()), { maxLength: 40, selector: ([place]) => place })
  .map((places) => places.toSorted(([a], [b]) => b - a).map(([place, hole]) => holed(pastRow(place), hole)));

test('a span lists exactly those within it, and no shot without the value', () => {
  fc.assert(
    fc.property(rows, fc.tuple(fc.integer({ min: 200, max: 540 }), fc.integer({ min: 200, max: 540 })), (all, ends) => {
      const [from, to] = [Math.min(...ends), Math.max(...ends)];
      const listed = listedShots(all, { ...ALL_SHOTS, spans: { fill: {}, mach: {}, velocity: { from, to } } });
      const expected = all.filter((row) => row.muzzleVelocityMps !== null && row.muzzleVelocityMps >= from && row.muzzleVelocityMps <= to);
      expect(listed).toEqual(expected);
    }),
  );
});

test('filters part the list: none and some, counted and left out, each session', () => {
  fc.assert(
    fc.property(rows, (all) => {
      const count = (change: Partial<ShotQuestion>): number => listedShots(all, { ...ALL_SHOTS, ...change }).length;
      expect(count({ flags: 'none' }) + count({ flags: 'some' })).toBe(all.length);
      expect(count({ counted: 'in' }) + count({ counted: 'out' })).toBe(all.length);
      const sessions = [...new Set(all.map(({ session }) => session))];
      expect(sessions.reduce((sum, session) => sum + count({ session }), 0)).toBe(all.length);
      for (const row of all.slice(0, 3)) expect(listedShots(all, { ...ALL_SHOTS, text: `${row.id.toUpperCase()} Heron` })).toContain(row);
    }),
  );
});

test('any order keeps every row, goes one way, and has those without a value last', () => {
  fc.assert(
    fc.property(rows, fc.constantFrom(...ORDERS), fc.boolean(), (all, by, isDescending) => {
      const listed = listedShots(all, { ...ALL_SHOTS, by, isDescending });
      expect(listed.toSorted((a, b) => (a.id < b.id ? -1 : 1))).toEqual(all.toSorted((a, b) => (a.id < b.id ? -1 : 1)));
      if (by !== 'velocity') return;
      const values = listed.map(({ muzzleVelocityMps }) => muzzleVelocityMps);
      const known = values.filter((value) => value !== null);
      expect(values.slice(0, known.length)).toEqual(known);
      expect(known).toEqual(known.toSorted((a, b) => (isDescending ? b - a : a - b)));
    }),
  );
});

test('a shot that is heard live is the row that the host would list', () => {
  for (const place of [0, 3, 5, 77]) {
    const { notes: _, ...row } = pastRow(place);
    expect(rowOfShot(pastShot(place))).toEqual({ ...row, excluded: false, excludedBecause: '', excludedBy: '' });
  }
});

test.each([
  ['', null],
  [' 1.5 ', 1.5],
  ['1,5', 1.5],
  ['\u22122', -2],
  ['.5', 0.5],
  ['1.', 1],
  ['1e9', undefined],
  ['12 m/s', undefined],
  ['-', undefined],
])('%j is entered as %s', (text, value) => expect(enteredNumber(text)).toBe(value));
