/** One kind of projectile: its shots, the curve through them, and where there is none. */
import type { DragCurvePoint, DragGap, DragKind, DragPoint, ReferencePoint } from '../../../protocol/index.ts';
import { coverageFactor } from '../../metrology/index.ts';
import { referenceSphereDrag } from '../../physics/index.ts';
import { type CurveFit, fitCurve, type Told } from './curve-fit.ts';
import type { ShotDrag } from './drag-of-shot.ts';
import { scoresOf } from './scores.ts';
import { gathered, seenOf } from './seen.ts';
import { plainName } from './shared-inputs.ts';
import { SHOTS_FOR_CURVE, type Support, supportOf } from './support.ts';

export interface KindOfShots {
  readonly projectile: string;
  readonly diameterM: number;
  readonly drags: readonly ShotDrag[];
  readonly leftOut: DragKind['leftOut'];
}

/** Between the curve's points. */
const STEP_MACH = 0.01;
/** Relative, expanded: a wider band is of no use to anybody, and rests on guesses more than on shots. */
const BAND_MAX = 0.15;
/** Beyond the shots' own Mach numbers, of the published curve. */
const BESIDE_MACH = 0.05;
/** Of the shots' Mach errors, which need the curve's slope, which needs the curve. */
const ROUNDS = 2;
const COMMON_LISTED = 8;
const K95 = coverageFactor(0.95, Number.POSITIVE_INFINITY);

export function describeKind({ projectile, diameterM, drags, leftOut }: KindOfShots): DragKind {
  const sorted = drags.toSorted((a, b) => a.mach - b.mach);
  const reynoldsPerMach = sorted.reduce((sum, { mach, reynolds }) => sum + reynolds / mach, 0) / Math.max(1, sorted.length);
  const support = supportOf(sorted.map(({ mach }) => mach));
  const noCurve = whyNoCurve(sorted.length, support);
  const placeAt = (mach: number) => place(mach, mach * reynoldsPerMach);
  const base = { projectile, diameterM, leftOut, reference: referenceBeside(sorted, reynoldsPerMach) };
  const bare = { ...base, curve: [], gaps: support.gaps, noCurve, scatterRelative: 0, commonInputs: [] };
  if (noCurve !== '') return { ...bare, points: sorted.map((shot) => pointOf(shot, flatSlope)) };
  const { fit, slopeAt } = fitWithSlopes(sorted, placeAt);
  const scores = scoresOf(sorted, slopeAt);
  const points = sorted.map((shot, i) => ({ ...pointOf(shot, slopeAt), ...scores[i], isOutlier: scores[i]?.isOutlier ?? false }));
  const stretches = support.stretches.map((stretch) => along(fit, machsOf(stretch), placeAt));
  const cut = stretches.map(cutWhereWide);
  return {
    ...base,
    points,
    curve: cut.flatMap(({ pieces }) => pieces),
    gaps: [...support.gaps, ...cut.flatMap(({ gaps }) => gaps)].toSorted((a, b) => a.fromMach - b.fromMach),
    noCurve,
    scatterRelative: fit.scatter,
    followsReference: fit.followsReference,
    commonInputs: commonInputs(fit, support, placeAt),
  };
}

function whyNoCurve(shots: number, { stretches }: Support): string {
  if (shots < SHOTS_FOR_CURVE)
    return `A curve needs at least ${SHOTS_FOR_CURVE} shots that tell of the drag; there ${shots === 1 ? 'is 1' : `are ${shots}`}.`;
  if (stretches.length === 0) return 'No two shots lie close enough together for a curve; the gaps say where shots would help.';
  return '';
}

type PlaceAt = (mach: number) => ReturnType<typeof place>;

function place(mach: number, reynolds: number) {
  const reference = referenceSphereDrag({ mach, reynolds });
  return { mach, reynolds, spread: reference.relativeStandardUncertainty, logReference: Math.log(reference.dragCoefficient) };
}

const flatSlope = (): number => 0;

function fitWithSlopes(
  shots: readonly ShotDrag[],
  placeAt: PlaceAt,
): { readonly fit: CurveFit; readonly slopeAt: (mach: number) => number } {
  let slopeAt: (mach: number) => number = (mach) => slopeOf((at) => at.map(({ logReference }) => logReference), mach, placeAt);
  let fit = fitCurve(gathered(shots.map((shot) => seenOf(shot, slopeAt))));
  for (let round = 1; round < ROUNDS; round++) {
    const before = fit;
    const slopes = new Map(shots.map(({ mach }) => [mach, slopeOf((at) => before.at(at).map(({ logDrag }) => logDrag), mach, placeAt)]));
    slopeAt = (mach) => slopes.get(mach) ?? 0;
    fit = fitCurve(gathered(shots.map((shot) => seenOf(shot, slopeAt))));
  }
  return { fit, slopeAt };
}

function slopeOf(logDragAt: (places: readonly ReturnType<typeof place>[]) => readonly number[], mach: number, placeAt: PlaceAt): number {
  const [below, above] = logDragAt([placeAt(mach - STEP_MACH), placeAt(mach + STEP_MACH)]) as [number, number];
  return (above - below) / (2 * STEP_MACH);
}

function pointOf(shot: ShotDrag, slopeAt: (mach: number) => number): DragPoint {
  const dragCoefficient = Math.exp(shot.logDrag);
  const { ownVariance, shared } = seenOf(shot, slopeAt);
  const all = [...shared.values()].reduce((sum, effect) => sum + effect * effect, ownVariance);
  return {
    shotId: shot.shotId,
    mach: shot.mach,
    machStandardUncertainty: Math.hypot(...[...shot.shared.values(), ...shot.own].map(({ ofMach }) => ofMach)),
    reynolds: shot.reynolds,
    dragCoefficient,
    standardUncertainty: dragCoefficient * Math.sqrt(all),
    ownStandardUncertainty: dragCoefficient * Math.sqrt(ownVariance),
    isOutlier: false,
  };
}

/** Both ends, and evenly between. */
function machsOf([from, to]: readonly [number, number]): readonly number[] {
  const steps = Math.max(1, Math.round((to - from) / STEP_MACH));
  return Array.from({ length: steps + 1 }, (_, i) => from + ((to - from) * i) / steps);
}

function along(fit: CurveFit, machs: readonly number[], placeAt: PlaceAt): readonly DragCurvePoint[] {
  const places = machs.map(placeAt);
  return fit.at(places).map((told, i) => curvePoint(told, places[i] as ReturnType<typeof place>));
}

function curvePoint({ logDrag, variance, sharedVariance }: Told, { mach, reynolds }: ReturnType<typeof place>): DragCurvePoint {
  const half = K95 * Math.sqrt(variance);
  return {
    mach,
    reynolds,
    dragCoefficient: Math.exp(logDrag),
    low: Math.exp(logDrag - half),
    high: Math.exp(logDrag + half),
    commonRelative: Math.sqrt(sharedVariance),
    ownRelative: Math.sqrt(variance - sharedVariance),
  };
}

/** The stretch without the places at which its band is too wide to say anything. */
function cutWhereWide(stretch: readonly DragCurvePoint[]): {
  readonly pieces: readonly (readonly DragCurvePoint[])[];
  readonly gaps: readonly DragGap[];
} {
  const pieces: DragCurvePoint[][] = [];
  const wide: DragCurvePoint[][] = [];
  let last: 'fine' | 'wide' | undefined;
  for (const point of stretch) {
    const kind = K95 * Math.hypot(point.commonRelative, point.ownRelative) <= BAND_MAX ? 'fine' : 'wide';
    const into = kind === 'fine' ? pieces : wide;
    if (kind === last) into.at(-1)?.push(point);
    else into.push([point]);
    last = kind;
  }
  const gaps = wide.map((run) => {
    const [fromMach, toMach] = [(run[0] as DragCurvePoint).mach, (run.at(-1) as DragCurvePoint).mach];
    const middle = ((fromMach + toMach) / 2).toFixed(2);
    const why = `From Mach ${fromMach.toFixed(3)} to ${toMach.toFixed(3)} the shots leave the drag uncertain by more than ${100 * BAND_MAX} %: no band is given there; shots at about Mach ${middle} would help.`;
    return { fromMach, toMach, why };
  });
  return { pieces: pieces.filter((piece) => piece.length > 1), gaps };
}

function commonInputs(fit: CurveFit, { stretches }: Support, placeAt: PlaceAt): DragKind['commonInputs'] {
  const widest = stretches.toSorted((a, b) => b[1] - b[0] - (a[1] - a[0]))[0];
  if (!widest) return [];
  const [told] = fit.at([placeAt((widest[0] + widest[1]) / 2)]);
  const squares = new Map<string, number>();
  for (const [name, square] of told?.byInput ?? []) squares.set(plainName(name), (squares.get(plainName(name)) ?? 0) + square);
  return [...squares]
    .map(([input, square]) => ({ input, relative: Math.sqrt(square) }))
    .toSorted((a, b) => b.relative - a.relative)
    .slice(0, COMMON_LISTED);
}

function referenceBeside(shots: readonly ShotDrag[], reynoldsPerMach: number): DragKind['reference'] {
  const [first, last] = [shots[0], shots.at(-1)];
  if (!first || !last) return { source: '', points: [] };
  const sources = new Set<string>();
  const points = machsOf([Math.max(0.05, first.mach - BESIDE_MACH), last.mach + BESIDE_MACH]).map((mach): ReferencePoint => {
    const { dragCoefficient, relativeStandardUncertainty, source } = referenceSphereDrag({ mach, reynolds: mach * reynoldsPerMach });
    sources.add(source);
    const half = K95 * relativeStandardUncertainty * dragCoefficient;
    return { mach, dragCoefficient, low: dragCoefficient - half, high: dragCoefficient + half };
  });
  return { source: [...sources].join('; '), points };
}
