/** A pressure–velocity map as a person reads it on a terminal. */
import type { MapBand, MapCurve, MapFill, MapKind, MapReport, MapShotPoint, MapSuggestion } from '../../../protocol/index.ts';
import { withMinus } from '../../units/index.ts';
import { columns } from '../text/columns.ts';

/** Of a curve's points, so many are listed: enough to draw it by hand. */
const LISTED = 10;
/** Of many shots some lie outside their 95 % band; a sentence is for those that seldom do. */
const OUTSIDE = 0.05;
const REMARKABLE = 0.01;

export function mapLines({ kinds, without }: MapReport): readonly string[] {
  return [
    ...kinds.flatMap((kind, i) => [...(i === 0 ? [] : ['']), ...kindLines(kind)]),
    ...(without.length === 0 ? [] : ['', 'Shots of which no map can be made:', ...without.map(({ shotId, why }) => `  ${shotId}: ${why}`)]),
  ];
}

function kindLines(kind: MapKind): readonly string[] {
  const { points, leftOut, noMap, curves, ambientPressurePa } = kind;
  const remarks = points.filter(({ tailProbability, isSetAside }) => isSetAside || tailProbability < REMARKABLE);
  return [
    titleOf(kind),
    '',
    ...(points.length === 0 ? [] : [...shotTable(points), '']),
    ...(noMap === '' ? curves.flatMap((curve) => curveLines(curve, ambientPressurePa)) : [noMap, '']),
    ...(noMap === '' ? qualityLines(kind) : []),
    ...remarks.map(({ shotId, remark }) => `Shot ${shotId}: ${remark}`),
    ...leftOut.map(({ shotId, why }) => `Not in the map: ${shotId}: ${why}.`),
  ];
}

export const titleOf = ({ rigName, projectile, gas, massKg, points, ambientPressurePa }: MapKind): string =>
  `${rigName}, ${gas}, ${projectile} (${(1000 * massKg).toFixed(1)} g): ${points.length} ${points.length === 1 ? 'shot' : 'shots'}; pressures absolute, the air at ${(ambientPressurePa / 1000).toFixed(1)} kPa`;

const shotTable = (points: readonly MapShotPoint[]): readonly string[] =>
  columns(
    ['Shot', 'Fill', 'Barrel', 'Measured', 'Expected by the others, 95 %', 'Departure', ''],
    points.map(
      ({ shotId, reservoirPressurePa, barrelPressurePa, velocityMps, expected, departure, score, tailProbability, isSetAside }) => [
        shotId,
        fillText(reservoirPressurePa),
        barrelText(barrelPressurePa),
        `${velocityMps.toFixed(2)} m/s`,
        bandText(expected),
        `${signed(100 * departure, 2)} % (${signed(score, 1)})`,
        isSetAside ? 'left out' : tailProbability < OUTSIDE ? 'outside the band' : '',
      ],
    ),
  );

function curveLines({ barrelPressurePa, stretches }: MapCurve, ambientPa: number): readonly string[] {
  const points = stretches.flat();
  if (points.length === 0) return [];
  const shown = Array.from(
    { length: Math.min(LISTED, points.length) },
    (_, i) => points[Math.round((i * (points.length - 1)) / (LISTED - 1))],
  ).filter((point) => point !== undefined);
  return [
    `Barrel at ${barrelText(barrelPressurePa)}:`,
    ...columns(
      ['Fill', '', 'Mean, 95 %', 'Next shot, 95 %'],
      shown.map(({ reservoirPressurePa, mean, nextShot }) => [
        fillText(reservoirPressurePa),
        `(${((reservoirPressurePa - ambientPa) / 1e6).toFixed(3)} MPa gauge)`,
        bandText(mean),
        bandText(nextShot),
      ]),
    ),
    '',
  ];
}

function qualityLines({ scatterRelative, remainderProbability, leaveOneOut }: MapKind): readonly string[] {
  const { rmsRelative, within, of } = leaveOneOut;
  return [
    `From shot to shot the velocity scatters by ${(100 * scatterRelative).toFixed(2)} % (k = 1). Each shot against the map of the others: ${(100 * rmsRelative).toFixed(2)} % root mean square, ${within} of ${of} within their 95 % band.`,
    remainderProbability < 0.05
      ? 'The launch model alone does: the shots ask for no remainder.'
      : `That the launch model alone does not do, and a smooth remainder belongs to the map, is believed to ${Math.round(100 * remainderProbability)} %; the bands allow for it.`,
  ];
}

export function fillLines(answer: MapFill & { readonly kind: 'fill' }, wantedMps: number, ambientPa: number): readonly string[] {
  const { reservoirPressurePa, lowPa, highPa, nextShot, mean } = answer;
  const gauge = (pa: number): string => ((pa - ambientPa) / 1e6).toFixed(4);
  return [
    `For ${wantedMps.toFixed(1)} m/s: fill ${gauge(reservoirPressurePa)} MPa gauge, 95 % between ${gauge(lowPa)} and ${gauge(highPa)} (${(reservoirPressurePa / 1e6).toFixed(4)} MPa absolute), settled, as this gauge reads.`,
    `The mean of such shots: ${bandText(mean)}. The next shot: ${bandText(nextShot)} (95 %).`,
  ];
}

export function suggestionLine(
  { reservoirPressurePa, barrelPressurePa, uncertaintyNow, uncertaintyAfter, cost, why }: MapSuggestion,
  place: number,
  ambientPa: number,
): string {
  const at = `fill ${((reservoirPressurePa - ambientPa) / 1e6).toFixed(3)} MPa gauge, barrel at ${barrelText(barrelPressurePa)}`;
  const gain = `map uncertainty ${(100 * uncertaintyNow).toFixed(2)} % to ${(100 * uncertaintyAfter).toFixed(2)} %`;
  return `${place}. ${at}: ${gain} (k = 1, where it is largest), cost ${cost.toFixed(2)}. ${why}`;
}

export const fillText = (pa: number): string => `${(pa / 1e6).toFixed(3)} MPa`;
export const barrelText = (pa: number): string => `${(pa / 1000).toFixed(pa < 10_000 ? 2 : 1)} kPa`;
const bandText = ({ velocityMps, lowMps, highMps }: MapBand): string =>
  `${velocityMps.toFixed(1)} m/s, ${lowMps.toFixed(1)} to ${highMps.toFixed(1)}`;

/** With its sign, and none where it rounds to nothing. */
function signed(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace('-', '') : withMinus(value < 0 ? text : `+${text}`);
}
