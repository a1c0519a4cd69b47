/**
 * From marks and frames to a flight: scale, turn, muzzle velocity and drag fitted together by weighted least squares
 * over all marks and all frames. What is only known from the rig file, as the standoff, is not fitted: a picture alone
 * cannot tell it; its uncertainty is carried to every result under its name.
 */
import type { CameraSummary, CameraTrack, RigSummary, ShotAir } from '../../../protocol/index.ts';
import {
  chiSquaredLimit,
  combine,
  type Estimate,
  type Fit,
  fitLeastSquares,
  type Influence,
  input,
  type Parameter,
  standardUncertainty,
} from '../../metrology/index.ts';
import { alongLine } from './along-line.ts';
import { CameraFlight } from './camera-flight.ts';
import { FRAME_MARKING, type Nuisance, nuisancesOf, type Offsets, type SeenMark } from './nuisances.ts';
import { Picture, parametersOf } from './picture.ts';
import { type RoughPicture, roughPicture } from './start.ts';

export interface PictureFit {
  readonly picture: Picture;
  readonly fit: Fit;
  readonly known: Offsets;
  readonly nuisances: readonly Nuisance[];
  /** Marks first, then frames, px along the way. */
  readonly observedPx: readonly number[];
  /** Of each, k = 1, as the weights have it. */
  readonly uncertaintiesPx: readonly number[];
  readonly parameters: readonly Parameter[];
  /** Numbers as the camera counts. */
  readonly frames: readonly number[];
  /** What was seen of the flight, m from the datum. */
  readonly fromM: number;
  readonly toM: number;
  /** Chi-squared is what the claimed uncertainties would lead one to expect, at the 0.1 % level. */
  readonly fits: boolean;
}

export type FitOutcome = { readonly ok: true; readonly found: PictureFit } | { readonly ok: false; readonly why: string };

/** Of a ball's length of blur, k = 1: how well its middle is found by eye (our judgement). */
const BLUR_SHARE = 0.05;
const EXPECTED_PROBABILITY = 0.999;
const SHORT_STEP = 1e-4;
/** Beyond any range: a track that says so is of another picture, and to fly so far would take for ever. */
const FARTHEST_M = 1000;
const SPEED_MPS = { least: 1, most: 5000 };

const metres = (m: number): string => `${m.toPrecision(3)} m`;

/** @returns why there is no fit, in one sentence without its full stop */
export function fitPicture(camera: CameraSummary, track: CameraTrack, rig: RigSummary, air: ShotAir): FitOutcome {
  const marks = camera.marks.filter(({ name }) => track.marks.some((seen) => seen.name === name));
  if (marks.length < 2)
    return refused(
      `the track has ${marks.length} of the marks of camera ${camera.name}; mark two or more of ${camera.marks.map(({ name }) => name).join(', ')}`,
    );
  if (track.frames.length < 3) return refused(`the track has ${track.frames.length} frames; three are needed, ten are good`);
  const along = alongLine(track.frames);
  if (!along) return refused('the ball stands still in the pictures; mark it where it is in each frame');
  const marksPx = marks.map(({ name }) => along.of(track.marks.find((seen) => seen.name === name) as CameraTrack['marks'][number]));
  const ballsPx = track.frames.map(along.of);
  const zero = camera.trigger?.frame ?? track.frames[0]?.frame ?? 0;
  const counts = track.frames.map(({ frame }) => frame - zero);
  const timesS = counts.map((count) => count / camera.frameRateHz.value);
  const rough = roughPicture(camera, marks, marksPx, timesS, ballsPx);
  if (!rough)
    return refused(
      'by its marks the ball flies towards the launcher, or not at all; see that no two marks are mixed up, and that frames count forwards',
    );
  if (rough.toM < 0)
    return refused('by its marks the ball is behind the muzzle in every frame; see that the marks’ places are from the muzzle datum');
  const { fromM, toM, speedMps } = rough;
  if (!(toM <= FARTHEST_M && fromM >= -FARTHEST_M && speedMps >= SPEED_MPS.least && speedMps <= SPEED_MPS.most))
    return refused(
      `by its marks the ball flies from ${metres(fromM)} to ${metres(toM)} at ${speedMps.toPrecision(3)} m/s, which no range has; see that marks and frames are of one picture`,
    );
  const flight = new CameraFlight(rig, air, rough);
  const picture = new Picture(camera, marks, counts, flight);
  const { known, nuisances } = nuisancesOf(camera, marks, rig, flight);
  const uncertaintiesPx = uncertaintiesOf(camera, marks, counts.length, rough);
  const observedPx = [...marksPx, ...ballsPx];
  const parameters = parametersFor(camera, rough, flight);
  const fit = fitLeastSquares({
    predict: (p) => picture.seenPx(parametersOf(p), known),
    observed: observedPx,
    weightUncertainty: uncertaintiesPx,
    parameters,
    shortStep: SHORT_STEP,
    influences: (p) => influencesOf(picture, nuisances, p, { camera, frames: track.frames, uncertaintiesPx }),
  });
  if (!fit?.values.every(Number.isFinite))
    return refused('no flight fits marks and frames; see that each mark has its right name and each frame its right number');
  const fits = fit.degreesOfFreedom < 1 || fit.chiSquared <= chiSquaredLimit(EXPECTED_PROBABILITY, fit.degreesOfFreedom);
  const found = {
    picture,
    fit,
    known,
    nuisances,
    observedPx,
    uncertaintiesPx,
    parameters,
    frames: track.frames.map(({ frame }) => frame),
    fromM,
    toM,
    fits,
  };
  return { ok: true, found: fits ? found : widened(found) };
}

const refused = (why: string): FitOutcome => ({ ok: false, why });

/** Pictures that disagree with each other more than they should: every parameter becomes less sure by as much (Birge 1932, from memory). */
function widened(found: PictureFit): PictureFit {
  const { chiSquared, degreesOfFreedom, parameters } = found.fit;
  const excess = Math.sqrt(Math.max(0, chiSquared / degreesOfFreedom - 1));
  const wider = parameters.map((of, j): Estimate => {
    const { name, unit } = found.parameters[j] as Parameter;
    const known = { value: 0, standardUncertainty: excess * standardUncertainty(of) };
    return combine(of.value, [
      { of, partial: 1 },
      { of: input(`disagreement of the picture (${name})`, unit, known), partial: 1 },
    ]);
  });
  return { ...found, fit: { ...found.fit, parameters: wider } };
}

function uncertaintiesOf(
  { markingStandardUncertaintyPx: marking, exposureS, distanceM, standoffM }: CameraSummary,
  marks: readonly SeenMark[],
  frames: number,
  { scalePxPerM, speedMps }: { readonly scalePxPerM: number; readonly speedMps: number },
): readonly number[] {
  const ofMarks = marks.map(({ positionM, standoffM: own }) => {
    const farther = distanceM.value / (distanceM.value + (own ?? standoffM).value);
    return Math.hypot(marking, scalePxPerM * farther * positionM.standardUncertainty);
  });
  const blurPx = Math.abs(scalePxPerM) * speedMps * exposureS;
  return [...ofMarks, ...Array.from({ length: frames }, () => Math.hypot(marking, BLUR_SHARE * blurPx))];
}

function parametersFor(
  { squarenessStandardUncertaintyRad }: CameraSummary,
  { scalePxPerM, footPx, turnRad, speedMps, middleM, middleTimeS }: RoughPicture,
  flight: CameraFlight,
): readonly Parameter[] {
  const nothing = { value: 0, standardUncertainty: Number.POSITIVE_INFINITY };
  const some = (name: string, unit: string, start: number, standardUncertainty: number): Parameter => ({
    name,
    unit,
    start,
    // A claim of perfection is still a claim; a weight cannot be infinite.
    prior: { value: 0, standardUncertainty: Math.max(1e-6, standardUncertainty) },
    step: 1e-4,
  });
  const [there] = flight.passagesAt(flight.stepsTo([middleM]), { muzzleMps: speedMps, dragScale: 0 }, flight.known);
  const muzzleMps = (speedMps * speedMps) / (there?.velocityMps || speedMps);
  return [
    { name: 'scale of the picture', unit: 'px/m', start: scalePxPerM, prior: nothing, step: 1e-5 * Math.abs(scalePxPerM) },
    { name: 'foot of the picture', unit: 'px', start: footPx, prior: nothing, step: 0.01 },
    some('squareness of the camera', 'rad', turnRad, squarenessStandardUncertaintyRad),
    { name: 'muzzle velocity', unit: 'm/s', start: muzzleMps, prior: nothing, step: 1e-5 * muzzleMps },
    { name: 'muzzle time', unit: 's', start: middleTimeS - (2 * middleM) / (muzzleMps + speedMps), prior: nothing, step: 1e-7 },
    some('drag curve, scale', '1', 0, flight.dragScaleStandardUncertainty),
  ];
}

function influencesOf(
  picture: Picture,
  nuisances: readonly Nuisance[],
  p: readonly number[],
  seen: { readonly camera: CameraSummary; readonly frames: CameraTrack['frames']; readonly uncertaintiesPx: readonly number[] },
): readonly Influence[] {
  const rows = picture.marks.length + seen.frames.length;
  const only = (row: number): readonly number[] => Array.from({ length: rows }, (_, i) => (i === row ? 1 : 0));
  const marking = (name: string, row: number, standardUncertainty: number): Influence => ({
    of: input(name, 'px', { value: 0, standardUncertainty }),
    effect: only(row),
  });
  return [
    ...picture.marks.map(({ name }, i) => marking(`marking of mark ${name}`, i, seen.camera.markingStandardUncertaintyPx)),
    ...seen.frames.map(({ frame }, k) => {
      const row = picture.marks.length + k;
      return marking(`${FRAME_MARKING}${frame}`, row, seen.uncertaintiesPx[row] as number);
    }),
    ...nuisances.map((nuisance) => ({ of: nuisance.of, effect: effectOf(picture, nuisance, p).map((by) => -by) })),
  ];
}

/** What of each prediction changes with the nuisance, px per its unit. */
function effectOf(picture: Picture, { moved, step }: Nuisance, p: readonly number[]): readonly number[] {
  const named = parametersOf(p);
  const below = picture.seenPx(named, moved(-step));
  return picture.seenPx(named, moved(step)).map((px, i) => (px - (below[i] as number)) / (2 * step));
}
