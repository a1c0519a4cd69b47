/** Drag curves as a person reads them on a terminal. */
import type { DragCurvePoint, DragKind, DragPoint, DragReport } from '../../../protocol/index.ts';
import { formatValue, withMinus } from '../../units/index.ts';
import { columns } from '../text/columns.ts';

const K95 = 1.96;
/** Of a stretch's points, so many are listed: enough to draw it by hand. */
const LISTED = 12;

export function dragLines({ kinds, without }: DragReport): readonly string[] {
  return [
    ...kinds.flatMap((kind, i) => [...(i === 0 ? [] : ['']), ...kindLines(kind)]),
    ...(without.length === 0 ? [] : ['', 'Shots that tell of no drag:', ...without.map(({ shotId, why }) => `  ${shotId}: ${why}`)]),
  ];
}

function kindLines(kind: DragKind): readonly string[] {
  const { projectile, diameterM, points, leftOut, curve, gaps, noCurve, reference } = kind;
  return [
    `${projectile}, diameter ${formatValue(diameterM, 'smallLength', 'SI')}: ${points.length} shots`,
    '',
    ...(points.length === 0
      ? []
      : [...columns(['Shot', 'Mach', 'Reynolds', 'Drag ± 95 %', 'Its own part', 'Away from the others'], points.map(shotRow)), '']),
    ...(noCurve === '' ? curveLines(kind) : [noCurve]),
    ...gaps.map(({ why }) => why),
    ...points.filter(({ isOutlier }) => isOutlier).map(outlierLine),
    ...leftOut.map(({ shotId, why }) => `Not in the curve: ${shotId}: ${why}.`),
    ...(curve.length === 0 ? [] : ['', ...sharedLines(kind)]),
    ...(reference.source === '' ? [] : [`Smooth sphere at these Reynolds numbers: ${reference.source}.`]),
  ];
}

const shotRow = ({
  shotId,
  mach,
  reynolds,
  dragCoefficient,
  standardUncertainty,
  ownStandardUncertainty,
  score,
}: DragPoint): readonly string[] => [
  shotId,
  mach.toFixed(3),
  reynolds.toExponential(2),
  plusMinus(dragCoefficient, K95 * standardUncertainty),
  `± ${(K95 * ownStandardUncertainty).toFixed(4)}`,
  score === undefined ? '' : `${withMinus((Math.round(10 * score) / 10 + 0).toFixed(1))} u`,
];

function curveLines({ curve, reference }: DragKind): readonly string[] {
  const rows = curve.flatMap((stretch) => thinned(stretch).map((point) => curveRow(point, reference.points)));
  return [...columns(['Mach', 'Reynolds', 'Drag', '95 % band', '', 'Smooth sphere'], rows), ''];
}

function curveRow(
  { mach, reynolds, dragCoefficient, low, high }: DragCurvePoint,
  reference: DragKind['reference']['points'],
): readonly string[] {
  const beside = reference.reduce((best, each) => (Math.abs(each.mach - mach) < Math.abs(best.mach - mach) ? each : best));
  return [
    mach.toFixed(3),
    reynolds.toExponential(2),
    dragCoefficient.toFixed(4),
    `${low.toFixed(4)} to ${high.toFixed(4)}`,
    `± ${((50 * (high - low)) / dragCoefficient).toFixed(1)} %`,
    plusMinus(beside.dragCoefficient, beside.high - beside.dragCoefficient),
  ];
}

function thinned(stretch: readonly DragCurvePoint[]): readonly DragCurvePoint[] {
  const count = Math.min(LISTED, stretch.length);
  return Array.from(
    { length: count },
    (_, i) => stretch[Math.round((i * (stretch.length - 1)) / Math.max(1, count - 1))] as DragCurvePoint,
  );
}

const outlierLine = ({ shotId, score }: DragPoint): string =>
  `Shot ${shotId} lies ${Math.abs(score ?? 0).toFixed(1)} u ${(score ?? 0) > 0 ? 'above' : 'below'} the curve through the others, further than one in a thousand: look at its gates, its film and its projectile; leave it out with postern exclude if there is a reason.`;

function sharedLines({ scatterRelative, followsReference, commonInputs }: DragKind): readonly string[] {
  const percent = (share: number): string => `${(100 * share).toFixed(2)} %`;
  return [
    `From shot to shot the drag varies by ${percent(scatterRelative)} beyond what the gates explain (k = 1).`,
    ...(followsReference === undefined
      ? []
      : [`That the curve has the published one's shape is believed to ${Math.round(100 * followsReference)} %.`]),
    `Common to all shots, which more of them do not shrink (k = 1): ${commonInputs.map(({ input, relative }) => `${input} ${percent(relative)}`).join(', ')}.`,
  ];
}

const plusMinus = (value: number, half: number): string => `${value.toFixed(4)} ± ${half.toFixed(4)}`;
