/** A shot seen by its gates and by a camera, every error of both drawn from what the rig file claims; and mistakes behind its back. */
import { randomStream } from '../../firmware-sim/world/random.ts';
import type { CheckableShot } from '../../host/analysis/camera/index.ts';
import { passagesOf } from '../../host/pipeline/passages.ts';
import { toResult } from '../../host/pipeline/result.ts';
import type { Rig } from '../../host/rig/index.ts';
import type { CameraSummary, CameraTrack, UncertainValue } from '../../protocol/index.ts';
import { type SceneCamera, trackOf } from './camera-scene.ts';
import { type ClaimedShot, claimedShot } from './claimed-shots.ts';

export interface Mistake {
  /** Relative, of the marks' places, from the datum. */
  readonly scale?: number;
  /** Relative, of the standoff. */
  readonly standoff?: number;
  readonly frameRate?: number;
}

export interface DrawnShot {
  readonly shot: CheckableShot;
  readonly track: CameraTrack;
  readonly truth: ClaimedShot['truth'];
}

const FOCAL_PX = 2300;

/** @param camera  one that the trigger starts */
export function drawnShot(rig: Rig, camera: CameraSummary, seed: number, mistake: Mistake = {}): DrawnShot {
  const claimed = claimedShot(rig, { seed });
  const random = randomStream(seed, 'camera');
  const draw = ({ value, standardUncertainty }: UncertainValue): number => value + standardUncertainty * random.normal();
  const { tape, sidewaysM, flight, muzzleAtS } = claimed.truth;
  const scale = (1 + tape) * (1 + camera.scaleRelativeStandardUncertainty * random.normal()) * (1 + (mistake.scale ?? 0));
  const standoffM = draw(camera.standoffM) + (mistake.standoff ?? 0) * camera.standoffM.value;
  const heightM = -0.1 + 0.01 * random.normal();
  const lens: SceneCamera = {
    xM: draw(camera.placeM),
    heightM: 0.05 * random.normal(),
    distanceM: draw(camera.distanceM),
    yawRad: camera.squarenessStandardUncertaintyRad * random.normal(),
    pitchRad: 0,
    rollRad: 0.02 * random.normal(),
    focalPx: FOCAL_PX,
    widthPx: 1280,
    heightPx: 800,
  };
  const track = trackOf({
    camera: lens,
    frameRateHz: draw(camera.frameRateHz) * (1 + (mistake.frameRate ?? 0)),
    exposureS: camera.exposureS,
    triggerFrame: camera.trigger?.frame ?? 0,
    delayS: camera.trigger ? draw(camera.trigger.delayS) : 0,
    marks: camera.marks.map(({ name, positionM, standoffM: own }) => ({
      name,
      at: [scale * draw(positionM), heightM, own ? draw(own) : standoffM],
    })),
    flight,
    muzzleAtS,
    sidewaysM,
    every: 3,
    framesMax: 60,
    slipPx: () => camera.markingStandardUncertaintyPx * random.normal(),
  });
  return { shot: shotOf(claimed, rig), track, truth: claimed.truth };
}

/** As the pipeline tells a shot, where the camera looks at it. */
export function shotOf({ reduction, pairs, screening, input: { air, latched, time } }: ClaimedShot, rig: Rig): CheckableShot {
  return {
    firedBy: 'trigger',
    ...passagesOf(screening, rig, time),
    pairs: pairs.map((pair) => ({ ...pair, velocityMps: toResult(pair.velocityMps, 'm/s') })),
    ...(reduction ? { muzzleVelocityMps: toResult(reduction.muzzleVelocityMps, 'm/s') } : {}),
    air: { ...latched, speedOfSoundMps: toResult(air.speedOfSoundMps, 'm/s'), densityKgM3: toResult(air.densityKgM3, 'kg/m³') },
  };
}
