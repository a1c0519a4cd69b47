/** A plot of the bench as a drawing for `docs/performance.md`. */
import { drawChart, type Layer, svgText } from '../../host/charts/index.ts';
import type { Plot } from './section.ts';

const SIZE = { widthPx: 640, frameHeightPx: 300 } as const;

export function plotSvg({ name, title, axes, x, y, lines }: Plot): string {
  const layers = lines.flatMap(({ name: line, points }, look): readonly Layer[] => {
    const drawn = points.map(([atX, atY]) => ({ x: atX, y: atY }));
    return [
      { kind: 'line', look, points: drawn },
      { kind: 'points', name: line, look, points: drawn },
    ];
  });
  const logarithmic = axes !== 'straight';
  const description = `${y.label} over ${x.label}${logarithmic ? ', both logarithmic' : ''}: ${lines.map((line) => `${line.name} ${wordsOf(line.points)}`).join('; ')}.`;
  return `${svgText(drawChart({ title, description, x: { ...x, logarithmic }, y: { ...y, logarithmic }, layers }, { ...SIZE, id: name }))}\n`;
}

const wordsOf = (points: readonly (readonly [number, number])[]): string =>
  points.map(([atX, atY]) => `${Number(atY.toPrecision(2))} at ${Number(atX.toPrecision(3))}`).join(', ');
