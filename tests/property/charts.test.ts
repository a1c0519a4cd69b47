/** Charts: well-formed whatever they are called, true to their values, and told apart without colour. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Chart, drawChart, type SvgNode, svgText } from '../../host/charts/index.ts';

const SIZE = { widthPx: 640, frameHeightPx: 300, id: 'chart' };

const chartOf = (over: Partial<Chart>): Chart => ({
  title: 'Speed over fill',
  description: 'Four shots.',
  x: { label: 'Fill', unit: 'MPa' },
  y: { label: 'Speed', unit: 'm/s' },
  layers: [],
  ...over,
});

/** A reader of its own: tags must nest, attributes be quoted, and what is written be read back. */
function parse(text: string): { readonly texts: readonly string[]; readonly tags: readonly string[] } {
  const open: string[] = [];
  const texts: string[] = [];
  const tags: string[] = [];
  let rest = text;
  while (rest !== '') {
    const tag = /^<(\/?)([a-zA-Z]+)((?: [a-zA-Z:-]+="[^"<]*")*)(\/?)>/.exec(rest);
    const words = /^[^<]+/.exec(rest);
    if (tag) {
      const [whole, closing, name = '', , empty] = tag;
      if (closing) expect(open.pop()).toBe(name);
      else tags.push(name);
      if (!closing && !empty) open.push(name);
      rest = rest.slice(whole.length);
    } else if (words) {
      expect(words[0]).toMatch(/^(?:[^&<>]|&(?:amp|lt|gt|quot|#39);)*$/);
      texts.push(unescaped(words[0]));
      rest = rest.slice(words[0].length);
    } else throw new Error(`not well-formed at: ${rest.slice(0, 60)}`);
  }
  expect(open).toEqual([]);
  return { texts, tags };
}

const unescaped = (text: string): string =>
  text.replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&quot;', '"').replaceAll('&#39;', "'").replaceAll('&amp;', '&');

const all = (root: SvgNode, wanted: (node: SvgNode) => boolean): readonly SvgNode[] => [
  ...(wanted(root) ? [root] : []),
  ...root.children.flatMap((child) => (typeof child === 'string' ? [] : all(child, wanted))),
];

test('any words are shown as they are, and the drawing stays well-formed', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme', minLength: 1 }), fc.string({ unit: 'binary', minLength: 1 }), (label, hostile) => {
      const point = { x: 1, y: 2, title: hostile };
      const layers = [{ kind: 'points', name: hostile, look: 0, points: [point] }] as const;
      const { texts } = parse(svgText(drawChart(chartOf({ title: hostile, x: { label, unit: '' }, layers }), SIZE)));
      expect(texts.join('\n')).toContain(label);
      expect(texts.join('\n')).not.toMatch(/[^\P{Cc}\t\n\r]/u);
    }),
    { seed: 20_261_128, numRuns: 50 },
  );
});

test('a point lies where the marks on its axes say', () => {
  const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  fc.assert(
    fc.property(fc.array(fc.tuple(value, value), { minLength: 2, maxLength: 20 }), (pairs) => {
      const points = pairs.map(([x, y]) => ({ x, y }));
      const drawn = drawChart(chartOf({ layers: [{ kind: 'points', look: 0, points }] }), SIZE);
      const marks = all(drawn, (each) => String(each.attributes.class).startsWith('chart-mark'));
      expect(marks).toHaveLength(points.length);
      for (const mark of marks) {
        const [, x, y] = /^M(-?[\d.]+) (-?[\d.]+)/.exec(String(mark.attributes.d)) ?? [];
        // Inside the frame, with the mark's own half-width.
        expect(Number(x)).toBeGreaterThanOrEqual(58);
        expect(Number(x)).toBeLessThanOrEqual(626);
        expect(Number(y)).toBeGreaterThanOrEqual(30);
        expect(Number(y)).toBeLessThanOrEqual(334);
      }
    }),
    { seed: 20_261_128 },
  );
});

test('values that are not finite are gaps, and nothing is drawn of them', () => {
  const points = [
    { x: 0, y: 1 },
    { x: 1, y: 2 },
    { x: 2, y: Number.NaN },
    { x: 3, y: Number.POSITIVE_INFINITY },
    { x: 4, y: 2 },
    { x: 5, y: 1 },
  ];
  const drawn = drawChart(
    chartOf({
      layers: [
        { kind: 'line', look: 0, points },
        { kind: 'band', look: 1, points: points.map(({ x, y }) => ({ x, low: y - 1, high: y + 1 })) },
        { kind: 'points', look: 2, points },
      ],
    }),
    SIZE,
  );
  expect(svgText(drawn)).not.toMatch(/NaN|Infinity/);
  const classed = (name: string) => all(drawn, (each) => String(each.attributes.class).startsWith(name));
  expect(classed('chart-mark')).toHaveLength(4);
  expect(classed('chart-band')).toHaveLength(2);
  // Two pieces of the line, and two edges of each piece of the band.
  expect(classed('chart-line')).toHaveLength(6);
});

test('each look differs from every other without colour', () => {
  const seen = [0, 1, 2, 3, 4, 5].map((look) => {
    const layers = [
      {
        kind: 'line',
        look,
        points: [
          { x: 0, y: 0 },
          { x: 1, y: 1 },
        ],
      },
      { kind: 'points', look, points: [{ x: 0.5, y: 0.5 }] },
    ] as const;
    const drawn = drawChart(chartOf({ layers }), SIZE);
    const [line] = all(drawn, (each) => String(each.attributes.class).startsWith('chart-line'));
    const [mark] = all(drawn, (each) => String(each.attributes.class).startsWith('chart-mark'));
    return JSON.stringify([line?.attributes['stroke-dasharray'] ?? '', String(mark?.attributes.d).replace(/^M\S+ \S+?(?=[a-z])/, '')]);
  });
  expect(new Set(seen).size).toBe(6);
});

test('an empty chart, and one with a single value, still have their axes', () => {
  for (const layers of [[], [{ kind: 'points', look: 0, points: [{ x: 3, y: 3 }] }] as const]) {
    const { tags } = parse(svgText(drawChart(chartOf({ layers }), SIZE)));
    expect(tags.filter((tag) => tag === 'text').length).toBeGreaterThan(6);
  }
});
