/** What a camera would see: its marks and a flying ball, px along the ball's way. */
import type { CameraSummary } from '../../../protocol/index.ts';
import type { CameraFlight } from './camera-flight.ts';
import type { Offsets, SeenMark } from './nuisances.ts';
import { type Pinhole, seenAtPx } from './pinhole.ts';

/** Fitted, in this order. */
export interface PictureParameters {
  readonly scalePxPerM: number;
  readonly footPx: number;
  readonly turnRad: number;
  readonly muzzleMps: number;
  /** On the camera's own axis. */
  readonly muzzleTimeS: number;
  readonly dragScale: number;
}

export const parametersOf = ([scalePxPerM, footPx, turnRad, muzzleMps, muzzleTimeS, dragScale]: readonly number[]): PictureParameters =>
  ({ scalePxPerM, footPx, turnRad, muzzleMps, muzzleTimeS, dragScale }) as PictureParameters;

export class Picture {
  readonly camera: CameraSummary;
  readonly marks: readonly SeenMark[];
  /** Frame numbers from the one that time is counted from. */
  readonly #frames: readonly number[];
  readonly flight: CameraFlight;

  constructor(camera: CameraSummary, marks: readonly SeenMark[], frames: readonly number[], flight: CameraFlight) {
    this.camera = camera;
    this.marks = marks;
    this.#frames = frames;
    this.flight = flight;
  }

  pinhole(p: PictureParameters, at: Offsets): Pinhole {
    const { placeM, distanceM } = this.camera;
    return {
      scalePxPerM: p.scalePxPerM,
      footPx: p.footPx,
      turnRad: p.turnRad,
      placeM: placeM.value + at.placeM,
      distanceM: distanceM.value + at.distanceM,
    };
  }

  /** Of each frame, on the camera's own axis, s: the middle of its exposure less half an exposure. */
  timesS({ frameRate }: Pick<Offsets, 'frameRate'>): readonly number[] {
    return this.#frames.map((count) => count / (this.camera.frameRateHz.value * (1 + frameRate)));
  }

  /** Marks first, then frames. */
  seenPx(p: PictureParameters, at: Offsets): readonly number[] {
    const camera = this.pinhole(p, at);
    const stretched = (1 + at.scale) * (1 + at.tape);
    const marks = this.marks.map(({ positionM, standoffM }, i) => {
      const behindM = standoffM ? standoffM.value + (at.ownStandoffsM[i] ?? 0) : this.camera.standoffM.value + at.standoffM;
      return seenAtPx(camera, stretched * (positionM.value + (at.marksM[i] ?? 0)), behindM);
    });
    const placeAt = this.flight.placesAt(p, at.flown);
    const balls = this.timesS(at).map((timeS) => seenAtPx(camera, placeAt(timeS - p.muzzleTimeS), at.sidewaysM));
    return [...marks, ...balls];
  }
}
