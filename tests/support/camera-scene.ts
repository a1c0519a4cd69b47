/**
 * A camera beside a flying ball, in three dimensions and from first principles: rays through one point onto a plane.
 * It shares no code with what evaluates its pictures. x along the flight line, y upwards, z away from the camera.
 */
import type { Flight } from '../../firmware-sim/world/flight.ts';
import type { CameraTrack, PicturePoint } from '../../protocol/index.ts';

export interface SceneCamera {
  /** Of the lens. */
  readonly xM: number;
  readonly heightM: number;
  /** From the flight line. */
  readonly distanceM: number;
  /** To the right is positive, as seen from above: down the range for a ball that flies to the right. */
  readonly yawRad: number;
  readonly pitchRad: number;
  readonly rollRad: number;
  readonly focalPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

type Vector = readonly [x: number, y: number, z: number];

/** Where a point of the world is in the picture, px from its left and its top. */
export function project(camera: SceneCamera, [x, y, z]: Vector): PicturePoint {
  const { yawRad, pitchRad, rollRad, focalPx, widthPx, heightPx } = camera;
  const [dx, dy, dz] = [x - camera.xM, y - camera.heightM, z + camera.distanceM];
  const [right, ahead] = [dx * Math.cos(yawRad) - dz * Math.sin(yawRad), dx * Math.sin(yawRad) + dz * Math.cos(yawRad)];
  const [up, depth] = [dy * Math.cos(pitchRad) - ahead * Math.sin(pitchRad), dy * Math.sin(pitchRad) + ahead * Math.cos(pitchRad)];
  const [u, v] = [(focalPx * right) / depth, (focalPx * up) / depth];
  return {
    xPx: widthPx / 2 + u * Math.cos(rollRad) - v * Math.sin(rollRad),
    yPx: heightPx / 2 - (u * Math.sin(rollRad) + v * Math.cos(rollRad)),
  };
}

export interface Scene {
  readonly camera: SceneCamera;
  readonly frameRateHz: number;
  readonly exposureS: number;
  readonly triggerFrame: number;
  /** From the trigger to the beginning of that frame's exposure. */
  readonly delayS: number;
  readonly marks: readonly { readonly name: string; readonly at: Vector }[];
  readonly flight: Flight;
  /** Of the ball's centre at the datum, since the trigger. */
  readonly muzzleAtS: number;
  readonly sidewaysM: number;
  /** Every how many-th frame is marked; the most that are. */
  readonly every: number;
  readonly framesMax: number;
  /** Error of one mark in a picture, each way, px. */
  readonly slipPx: () => number;
}

/** The track that a perfect eye with a shaking hand would mark: the ball where it was in the middle of each exposure. */
export function trackOf(scene: Scene): CameraTrack {
  const slipped = ({ xPx, yPx }: PicturePoint): PicturePoint => ({ xPx: xPx + scene.slipPx(), yPx: yPx + scene.slipPx() });
  const marks = scene.marks.map(({ name, at }) => ({ name, ...slipped(project(scene.camera, at)) }));
  const frames: CameraTrack['frames'][number][] = [];
  const first = Math.ceil((scene.muzzleAtS - scene.delayS) * scene.frameRateHz);
  let sinceSeen = 0;
  for (let count = first; frames.length < scene.framesMax; count++) {
    const timeS = scene.delayS + count / scene.frameRateHz + scene.exposureS / 2 - scene.muzzleAtS;
    const placeM = timeS < 0 ? undefined : placeAt(scene.flight, timeS);
    if (placeM === undefined) {
      if (timeS < 0) continue;
      break;
    }
    const seen = project(scene.camera, [placeM, scene.flight.at(placeM).heightM, scene.sidewaysM]);
    const isIn = seen.xPx > 0 && seen.xPx < scene.camera.widthPx;
    if (isIn && sinceSeen++ % scene.every === 0) frames.push({ frame: scene.triggerFrame + count, ...slipped(seen) });
    if (!isIn && sinceSeen > 0) break;
  }
  return { marks, frames };
}

const FARTHEST_M = 11;

/** By bisection: the simulated world only says when the ball is where. */
export function placeAt(flight: Flight, timeS: number): number | undefined {
  if (timeS > flight.at(FARTHEST_M).timeS) return undefined;
  let [low, high] = [0, FARTHEST_M];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (flight.at(middle).timeS <= timeS) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
