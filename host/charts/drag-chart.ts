/** The drag of one kind of projectile over Mach, with its band, its shots and a published curve beside it. */
import type { DragKind } from '../../protocol/index.ts';
import type { Chart, Layer } from './chart.ts';

/** Normal distribution, 95 %. */
const K95 = 1.96;

export function dragChart(kind: DragKind): Chart {
  const { projectile, points, curve, reference } = kind;
  const [first, last] = [points[0], points.at(-1)];
  const span = first && last ? `Mach ${first.mach.toFixed(2)} to ${last.mach.toFixed(2)}` : 'no Mach number';
  const shots = `${points.length} ${points.length === 1 ? 'shot' : 'shots'}`;
  return {
    title: `Drag of ${projectile}`,
    description: `Drag coefficient over Mach from ${shots}, ${span}, ${curve.length === 0 ? 'without a curve' : 'with the curve through them and its 95 % band'}; beside it a smooth sphere (${reference.source}). The table has the numbers.`,
    x: { label: 'Mach number', unit: '' },
    y: { label: 'Drag coefficient', unit: '' },
    layers: [...publishedLayers(reference), ...curveLayers(curve), ...pointLayers(points)],
  };
}

function publishedLayers({ source, points }: DragKind['reference']): readonly Layer[] {
  if (points.length === 0) return [];
  return [
    {
      kind: 'line',
      name: `smooth sphere, ${source}`,
      look: 4,
      points: points.map(({ mach, dragCoefficient }) => ({ x: mach, y: dragCoefficient })),
    },
  ];
}

/** Each stretch apart: across a gap there is nothing. */
const curveLayers = (curve: DragKind['curve']): readonly Layer[] =>
  curve.flatMap((stretch, i): readonly Layer[] => [
    {
      kind: 'band',
      look: 0,
      ...(i === 0 ? { name: '95 % band of the curve' } : {}),
      points: stretch.map(({ mach, low, high }) => ({ x: mach, low, high })),
    },
    {
      kind: 'line',
      look: 0,
      ...(i === 0 ? { name: 'curve through the shots' } : {}),
      points: stretch.map(({ mach, dragCoefficient }) => ({ x: mach, y: dragCoefficient })),
    },
  ]);

function pointLayers(points: DragKind['points']): readonly Layer[] {
  const layer = (isOutlier: boolean, name: string, look: number): readonly Layer[] => {
    const chosen = points.filter((point) => point.isOutlier === isOutlier);
    if (chosen.length === 0) return [];
    return [
      {
        kind: 'points',
        name,
        look,
        hollow: isOutlier,
        points: chosen.map((point) => ({
          x: point.mach,
          y: point.dragCoefficient,
          xHalf: K95 * point.machStandardUncertainty,
          yHalf: K95 * point.standardUncertainty,
          title: `Shot ${point.shotId}: Mach ${point.mach.toFixed(3)}, drag coefficient ${point.dragCoefficient.toFixed(4)} ± ${(K95 * point.standardUncertainty).toFixed(4)}`,
        })),
      },
    ];
  };
  return [...layer(false, 'shots, ± 95 %', 1), ...layer(true, 'far from the others', 3)];
}
