/** Velocity over fill, a curve with its bands for each barrel pressure, and the shots. */
import type { MapCurve, MapKind, MapShotPoint } from '../../protocol/index.ts';
import type { Chart, ChartPoint, Layer, PointLayer } from './chart.ts';

/** Normal distribution, 95 %. */
const K95 = 1.96;
const MPA = 1e6;

export function mapChart(kind: MapKind): Chart {
  const { rigName, projectile, points, curves } = kind;
  const shots = `${points.length} ${points.length === 1 ? 'shot' : 'shots'}`;
  const fills = points.map(({ reservoirPressurePa }) => reservoirPressurePa / MPA);
  const span =
    fills.length === 0 ? 'no fill' : `fills of ${Math.min(...fills).toFixed(2)} to ${Math.max(...fills).toFixed(2)} MPa absolute`;
  const at = curves.map(({ barrelPressurePa }) => barrelText(barrelPressurePa)).join(', ');
  return {
    title: `${rigName}, ${projectile}`,
    description: `Muzzle velocity over fill pressure from ${shots}, ${span}, ${at === '' ? 'without a curve' : `with curves for a barrel at ${at} and the 95 % bands of the next shot`}. The table has the numbers.`,
    x: { label: 'Fill, absolute', unit: 'MPa' },
    y: { label: 'Muzzle velocity', unit: 'm/s' },
    layers: [...curves.flatMap(curveLayers), ...pointLayers(points, curves)],
  };
}

const barrelText = (pa: number): string => `${(pa / 1000).toPrecision(3)} kPa`;

/** Across a gap there is nothing. */
const curveLayers = ({ barrelPressurePa, stretches }: MapCurve, look: number): readonly Layer[] =>
  stretches.flatMap((stretch, i): readonly Layer[] => [
    {
      kind: 'band',
      look,
      points: stretch.map(({ reservoirPressurePa, nextShot }) => ({
        x: reservoirPressurePa / MPA,
        low: nextShot.lowMps,
        high: nextShot.highMps,
      })),
    },
    {
      kind: 'line',
      look,
      ...(i === 0 ? { name: `barrel at ${barrelText(barrelPressurePa)}, band: next shot, 95 %` } : {}),
      points: stretch.map(({ reservoirPressurePa, mean }) => ({ x: reservoirPressurePa / MPA, y: mean.velocityMps })),
    },
  ]);

/** Each shot in the look of the curve that it is near to in barrel pressure. */
function pointLayers(points: readonly MapShotPoint[], curves: readonly MapCurve[]): readonly Layer[] {
  // A shot far from every curve's barrel pressure is no point of any of them.
  const lookOf = ({ barrelPressurePa }: MapShotPoint): number | undefined => {
    const off = curves.map((curve) => Math.abs(Math.log(curve.barrelPressurePa / barrelPressurePa)));
    const least = Math.min(...off);
    const nearest = off.indexOf(least);
    const at = curves[nearest]?.barrelPressurePa ?? Number.NaN;
    return least < Math.log(NEAR.factor) || Math.abs(at - barrelPressurePa) < NEAR.pa ? nearest : undefined;
  };
  const layer = (chosen: readonly MapShotPoint[], how: Pick<PointLayer, 'look' | 'hollow' | 'name'>): readonly Layer[] =>
    chosen.length === 0 ? [] : [{ kind: 'points', ...how, points: chosen.map(chartPoint) }];
  const used = points.filter(({ isSetAside }) => !isSetAside);
  const aside = points.filter(({ isSetAside }) => isSetAside);
  return [
    ...curves.flatMap((_, look) =>
      layer(
        used.filter((point) => lookOf(point) === look),
        { look },
      ),
    ),
    ...layer(
      used.filter((point) => lookOf(point) === undefined),
      { look: curves.length === 0 ? 0 : ELSEWHERE_LOOK, ...(curves.length === 0 ? {} : { name: 'at other barrel pressures' }) },
    ),
    ...layer(aside, { look: SET_ASIDE_LOOK, hollow: true, name: 'left out, see the table' }),
  ];
}

const chartPoint = (point: MapShotPoint): ChartPoint => ({
  x: point.reservoirPressurePa / MPA,
  y: point.velocityMps,
  xHalf: (K95 * point.reservoirStandardUncertaintyPa) / MPA,
  yHalf: K95 * point.velocityStandardUncertaintyMps,
  title: `Shot ${point.shotId}: ${point.velocityMps.toFixed(1)} m/s at ${(point.reservoirPressurePa / MPA).toFixed(3)} MPa, barrel at ${barrelText(point.barrelPressurePa)}`,
});

const SET_ASIDE_LOOK = 4;
const ELSEWHERE_LOOK = 5;
/** Of a curve's barrel pressure: as near as shots of one curve lie together. */
const NEAR = { factor: 1.6, pa: 10_000 };
