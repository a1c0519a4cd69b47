import { expect, test } from 'vitest';
import { drawChart, svgText } from '../../host/charts/index.ts';
import { ratioScaleOf, spanOf } from '../../host/charts/scale.ts';

const layer = (values: readonly number[]) => ({ kind: 'line', look: 0, points: values.map((x) => ({ x, y: x })) }) as const;
const AXIS = { label: 'Channels', unit: '', logarithmic: true } as const;

test('equal steps are equal ratios, marked at 1, 2 and 5 of each decade', () => {
  const { at, ticks } = ratioScaleOf([1, 100], [0, 200]);
  expect([1, 10, 100].map(at)).toEqual([0, expect.closeTo(100), 200]);
  expect(ticks.map(({ text }) => text)).toEqual(['1', '2', '5', '10', '20', '50', '100']);
});

test.each([
  [
    [3, 40],
    [2, 50],
  ],
  [
    [1, 64],
    [1, 100],
  ],
  [
    [0.03, 0.03],
    [0.02, 0.05],
  ],
  [[], [1, 10]],
])('values %j are shown from mark to mark, %j', (values, span) => {
  expect(spanOf(AXIS, [layer(values)], 'x', 5)).toEqual(span);
});

test('a chart of it is drawn without a place that is no number', () => {
  const chart = { title: 'Cost', description: '', x: AXIS, y: AXIS, layers: [layer([1, 8, 64])] };
  expect(svgText(drawChart(chart, { widthPx: 640, frameHeightPx: 300, id: 'cost' }))).not.toMatch(/NaN|Infinity/);
});
