/** A camera's track held against the gates: speed at the gates' own place, difference, verdict, and whom to blame. */
import type { CameraTrack, CrossCheck, RigSummary, Suspect, Suspicion } from '../../../protocol/index.ts';
import { agreementScore, combine, type Estimate, standardUncertainty } from '../../metrology/index.ts';
import { measuredOf, resultOf } from './camera-result.ts';
import { estimateOf } from './estimate-of.ts';
import { passageAt } from './flight-seen.ts';
import { type CheckableShot, type GatesSide, gatesSide } from './gates-side.ts';
import type { GatesRow } from './joint-rows.ts';
import { parametersOf } from './picture.ts';
import { fitPicture, type PictureFit } from './picture-fit.ts';
import { placeOnLineM } from './pinhole.ts';
import { suspicionsOf } from './suspects.ts';
import { verdictOf } from './verdict.ts';
import { noSpeedWords, verdictWords } from './verdict-words.ts';

/** One suspect stands out when it is so much likelier than the next. */
const STANDS_OUT = 2;
/** A speed that is no surer than that is none. */
const USELESS_SHARE = 0.5;

export type { CheckableShot };

/**
 * @param camera  its name in the rig file
 * @param shot  as it was told; air, and what the gates said
 */
export function crossCheck(camera: string, track: CameraTrack, shot: CheckableShot, rig: RigSummary): CrossCheck {
  const setUp = rig.cameras?.find(({ name }) => name === camera);
  if (!setUp) return noSpeed(`the rig file has no camera ${camera}`);
  const outcome = fitPicture(setUp, track, withMassOf(shot, rig), shot.air);
  if (!outcome.ok) return noSpeed(outcome.why);
  const { found } = outcome;
  const gates = gatesSide(shot, (found.fromM + found.toM) / 2);
  const place = gates?.place ?? 'datum';
  const positionM = gates?.positionM ?? 0;
  const velocity = passageAt(found, positionM).velocityMps;
  const { value, expandedUncertainty } = measuredOf(velocity);
  // Written so that NaN refuses too.
  if (!(expandedUncertainty < USELESS_SHARE * value))
    return noSpeed(`marks and frames do not fit each other at all; look first at ${worstOf(found)}`);
  const compared = gates ? compare(found, gates, velocity) : undefined;
  const seen = {
    place,
    positionM,
    velocityMps: resultOf(velocity, 'm/s'),
    datumVelocityMps: resultOf(passageAt(found, 0).velocityMps, 'm/s'),
    ...pictureOf(found, track),
  };
  const verdict = verdictOf(seen.velocityMps, compared);
  const told = { ...seen, ...(compared ?? {}), verdict };
  const isWrong = verdict === 'disagree' || !found.fits;
  const suspicions = isWrong ? suspicionsOf(found, gates ? gateRows(found, gates) : []) : [];
  const blame = blameOf(suspicions);
  return {
    ...told,
    words: verdictWords(told, { camera, suspicions, blame, fits: found.fits }),
    ...(suspicions.length > 0 ? { suspicions } : {}),
    ...(blame ? { blame } : {}),
  };
}

/** As the gates' side: a projectile that was weighed has its own mass. */
function withMassOf({ weighed }: CheckableShot, rig: RigSummary): RigSummary {
  if (!weighed) return rig;
  const { projectile, claims } = rig;
  return {
    ...rig,
    projectile: { ...projectile, massKg: weighed.valueKg },
    ...(claims ? { claims: { ...claims, massKg: weighed.standardUncertaintyKg } } : {}),
  };
}

/** What is furthest from where the fit has it. */
function worstOf({ fit, uncertaintiesPx, picture, frames }: PictureFit): string {
  const off = fit.residuals.map((residual, i) => Math.abs(residual) / (uncertaintiesPx[i] as number));
  const row = off.indexOf(Math.max(...off));
  return row < picture.marks.length ? `mark ${picture.marks[row]?.name}` : `frame ${frames[row - picture.marks.length]}`;
}

const noSpeed = (why: string): CrossCheck => ({ verdict: 'no-speed', words: noSpeedWords(why) });

type Compared = Pick<CrossCheck, 'gatesVelocityMps' | 'passage'> & Required<Pick<CrossCheck, 'differenceMps' | 'score'>>;

/** What both sides have in common, as the drag or the tape, counts once: the difference is one estimate. */
function compare(found: PictureFit, { velocityMps, passage }: GatesSide, velocity: Estimate): Compared {
  const { value, standardUncertainty: u, expandedUncertainty } = velocityMps;
  const differenceMps = measuredOf(differenceOf(velocity, estimateOf(velocityMps)));
  const timed = found.picture.camera.trigger ? passage : undefined;
  const seen = timed && measuredOf(differenceOf(passageAt(found, timed.positionM).timeS, timed.timeS));
  return {
    gatesVelocityMps: { value, standardUncertainty: u, expandedUncertainty },
    differenceMps,
    score: agreementScore(differenceMps, { value: 0, expandedUncertainty: 0 }),
    // A ball that never gets to the gate has no time there.
    ...(timed && seen && Number.isFinite(seen.expandedUncertainty) ? { passage: { gate: timed.gate, differenceS: seen } } : {}),
  };
}

const differenceOf = (a: Estimate, b: Estimate): Estimate =>
  combine(a.value - b.value, [
    { of: a, partial: 1 },
    { of: b, partial: -1 },
  ]);

function gateRows({ picture }: PictureFit, { velocityMps, positionM, passage }: GatesSide): readonly GatesRow[] {
  const { flight, camera } = picture;
  const steps = flight.stepsTo([positionM]);
  const speed: GatesRow = {
    observed: velocityMps.value,
    standardUncertainty: Math.max(1e-6 * velocityMps.value, velocityMps.standardUncertainty),
    predict: (p, at) => flight.passagesAt(steps, p, at.flown)[0]?.velocityMps ?? Number.NaN,
  };
  const { trigger } = camera;
  if (!passage || !trigger) return [speed];
  const toGate = flight.stepsTo([passage.positionM]);
  const time: GatesRow = {
    observed: passage.timeS.value,
    standardUncertainty: Math.max(1e-9, standardUncertainty(passage.timeS)),
    predict: (p, at) =>
      p.muzzleTimeS +
      (flight.passagesAt(toGate, p, at.flown)[0]?.timeS ?? Number.NaN) +
      camera.exposureS / 2 +
      trigger.delayS.value +
      at.delayS,
  };
  return [speed, time];
}

function blameOf([first, second]: readonly Suspicion[]): Suspect | undefined {
  return first && first.share >= STANDS_OUT * (second?.share ?? 0) ? first.suspect : undefined;
}

/** What the picture itself says. */
function pictureOf({ picture, fit, known, fromM, toM, observedPx }: PictureFit, { frames }: CameraTrack) {
  const p = parametersOf(fit.values);
  const pinhole = picture.pinhole(p, known);
  const { camera } = picture;
  const offsetS = camera.exposureS / 2 + (camera.trigger?.delayS.value ?? 0);
  const middleM = (fromM + toM) / 2 - camera.placeM.value;
  const bend = 1 + (Math.tan(p.turnRad) / camera.distanceM.value) * middleM;
  const [scale, , turn] = fit.parameters as readonly Estimate[];
  const balls = observedPx.slice(-frames.length);
  return {
    ...(scale
      ? {
          scalePxPerM: measuredOf(
            combine((p.scalePxPerM - p.footPx * (Math.tan(p.turnRad) / camera.distanceM.value)) / bend ** 2, [
              { of: scale, partial: 1 / bend ** 2 },
            ]),
          ),
        }
      : {}),
    ...(turn ? { squarenessRad: measuredOf(turn) } : {}),
    frameTimesS: picture.timesS(known).map((timeS) => timeS + offsetS),
    positionsM: balls.map((px) => placeOnLineM(pinhole, px)),
    residualsPx: fit.residuals.slice(-frames.length),
    markResidualsPx: fit.residuals.slice(0, picture.marks.length),
    chiSquared: fit.chiSquared,
    degreesOfFreedom: fit.degreesOfFreedom,
  };
}
