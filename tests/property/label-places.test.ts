/** Names of points in a drawing: none on another, none on what is taken, and one alone always has its place. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Box, labelPlaces, overlaps } from '../../dashboards/src/charts/label-places.ts';

const place = fc.double({ min: 0, max: 300, noNaN: true });
const points = fc.array(fc.record({ x: place, y: place, text: fc.nat(999).map(String) }), { maxLength: 40 });
const boxes = fc.array(fc.record({ x: place, y: place, width: fc.constant(30), height: fc.constant(12) }), { maxLength: 5 });

test('no name lies on another, or where nothing may stand; and each stands beside its point', () => {
  fc.assert(
    fc.property(points, boxes, (named, taken) => {
      const found = labelPlaces(named, 12, taken);
      expect(found).toHaveLength(named.length);
      const placed = found.filter((box): box is Box => box !== undefined);
      for (const [i, box] of placed.entries())
        for (const other of [...placed.slice(i + 1), ...taken]) expect(overlaps(box, other)).toBe(false);
      for (const [i, box] of found.entries()) {
        const { x, y } = named[i] ?? { x: Number.NaN, y: Number.NaN };
        if (box) expect(overlaps(box, { x: x - 12, y: y - 12, width: 24, height: 24 })).toBe(true);
      }
    }),
  );
});

test('a point alone has its name, and four on one place have theirs about it', () => {
  expect(labelPlaces([{ x: 9, y: 9, text: '1' }], 12, [])[0]).toBeDefined();
  const four = labelPlaces(
    ['1', '2', '3', '4', '5'].map((text) => ({ x: 100, y: 100, text })),
    12,
    [],
  );
  expect(four.map((box) => box !== undefined)).toEqual([true, true, true, true, false]);
});
