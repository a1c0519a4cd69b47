import { nice, tickStep, ticks } from 'd3-array';
import type { Axis, Layer } from './chart.ts';

export interface Scale {
  /** Of a value, px. */
  readonly at: (value: number) => number;
  readonly ticks: readonly { readonly at: number; readonly text: string }[];
}

/** Of what is shown, so that nothing lies on the frame. */
const ROOM = 0.04;

export function spanOf(axis: Axis, layers: readonly Layer[], which: 'x' | 'y', ticksAbout: number): readonly [number, number] {
  if (axis.span) return axis.span;
  if (axis.logarithmic) return ratioSpanOf(layers, which);
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of layers.flatMap((layer) => valuesOf(layer, which))) {
    if (!Number.isFinite(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  if (low > high) return [0, 1];
  // One value alone still gets a scale around it.
  const room = high > low ? ROOM * (high - low) : Math.abs(low) * ROOM || 1;
  const [from = low, to = high] = nice(low - room, high + room, ticksAbout);
  return [axis.least === undefined || low < axis.least ? from : Math.max(from, axis.least), to];
}

/** Widened to the next marks. */
function ratioSpanOf(layers: readonly Layer[], which: 'x' | 'y'): readonly [number, number] {
  const values = layers.flatMap((layer) => valuesOf(layer, which)).filter((value) => value > 0 && Number.isFinite(value));
  if (values.length === 0) return [1, 10];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const from = ratioMarks(low / 10, low).at(-1) ?? low;
  const to = ratioMarks(high, high * 10)[0] ?? high;
  return from < to ? [from, to] : [from, from * 10];
}

const MARKS = [1, 2, 5] as const;

/** 1, 2 and 5 of each decade, those within the span. */
function ratioMarks(from: number, to: number): readonly number[] {
  const marks: number[] = [];
  for (let decade = Math.floor(Math.log10(from)) - 1; decade <= Math.ceil(Math.log10(to)); decade += 1) {
    // As a power of ten is written, not as it is computed: 0.001 and no neighbour of it.
    for (const mark of MARKS) marks.push(Number(`${mark}e${decade}`));
  }
  const rounding = 1e-9;
  return marks.filter((mark) => mark >= from * (1 - rounding) && mark <= to * (1 + rounding));
}

/** Of a logarithmic axis. @param span  above zero */
export function ratioScaleOf([from, to]: readonly [number, number], [start, end]: readonly [number, number]): Scale {
  const at = (value: number): number => start + (Math.log(value / from) / Math.log(to / from)) * (end - start);
  return { at, ticks: ratioMarks(from, to).map((value) => ({ at: at(value), text: String(value) })) };
}

function valuesOf(layer: Layer, which: 'x' | 'y'): readonly number[] {
  switch (layer.kind) {
    case 'rule':
      return layer.axis === which ? [layer.at] : [];
    case 'band':
      return layer.points.flatMap(({ x, low, high }) => (which === 'x' ? [x] : [low, high]));
    case 'line':
      return layer.points.map((point) => point[which]);
    case 'points':
      return layer.points.flatMap((point) => {
        const half = (which === 'x' ? point.xHalf : point.yHalf) ?? 0;
        return [point[which] - half, point[which] + half];
      });
  }
}

export function scaleOf([from, to]: readonly [number, number], [start, end]: readonly [number, number], ticksAbout: number): Scale {
  const at = (value: number): number => start + ((value - from) / (to - from)) * (end - start);
  // -0 is written as 0.
  return {
    at,
    ticks: ticks(from, to, ticksAbout).map((value) => ({ at: at(value), text: numberText(value + 0, tickStep(from, to, ticksAbout)) })),
  };
}

/** With as many digits as the steps between the marks ask for. */
function numberText(value: number, step: number): string {
  const digits = Math.min(12, Math.max(0, -Math.floor(Math.log10(Math.abs(step)) + 1e-9)));
  const text = Math.abs(value) >= 1e7 ? value.toExponential(2) : value.toFixed(digits);
  return text.replace(/^-/, '\u2212');
}
