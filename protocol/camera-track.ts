/** The ball's way through a camera's pictures, as marked by hand or by any program. */

/** A place in a picture: px from the left and from the top, fractions allowed. */
export interface PicturePoint {
  readonly xPx: number;
  readonly yPx: number;
}

/** Of the rig file's camera of that name, as marked by hand or by any program. */
export interface CameraTrack {
  /** Range marks, each once, by their names in the rig file. */
  readonly marks: readonly (PicturePoint & { readonly name: string })[];
  /** The ball's middle, frame by frame; numbers as the camera counts, ascending. */
  readonly frames: readonly (PicturePoint & { readonly frame: number })[];
}

/** No picture is wider, and no clip longer. */
export const TRACK_LIMITS = { framesMin: 3, framesMax: 500, pxMax: 65_536, frameMax: 1e9, clipCharactersMax: 120 } as const;
