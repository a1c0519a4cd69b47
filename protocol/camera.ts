/** What a camera beside the flight line says of a shot: its clip, the track that was marked in it, and how that holds against the gates. */
import type { CameraAgreementVerdict } from './acceptance.ts';
import type { CameraTrack } from './camera-track.ts';
import type { Measured } from './measured.ts';
import type { SessionNs } from './record.ts';
import type { Result } from './result.ts';

/**
 * agree, disagree: |E_n| at most 1, or more. cannot-tell: no contradiction, but the camera is too unsure to confirm
 * anything. camera-only: the gates gave no speed. no-speed: the track gives none.
 */
export type CameraVerdict = 'agree' | 'disagree' | 'cannot-tell' | 'camera-only' | 'no-speed';

export type Suspect = 'scale' | 'standoff' | 'frame rate' | 'squareness' | 'marking';

/** One thing that may be wrong with the camera's set-up, and how well it alone would explain what is seen. */
export interface Suspicion {
  readonly suspect: Suspect;
  /** How far it would have to be off, as a person says it: `1.02 % too short`. */
  readonly shift: string;
  /** 0 to 1, of all suspects together. */
  readonly share: number;
}

export interface CrossCheck {
  readonly verdict: CameraVerdict;
  /** One or two plain sentences. */
  readonly words: string;
  /** Where both speeds are told: `datum`, or `pair A`; m from the muzzle datum. */
  readonly place?: string;
  readonly positionM?: number;
  readonly velocityMps?: Result;
  readonly datumVelocityMps?: Result;
  readonly gatesVelocityMps?: Measured;
  /** Camera less gates; inputs that both have count once. */
  readonly differenceMps?: Measured;
  /** E_n: the difference over its expanded uncertainty. */
  readonly score?: number;
  /** Likeliest first; only where something is wrong. */
  readonly suspicions?: readonly Suspicion[];
  /** The first of them, where it stands out. */
  readonly blame?: Suspect;
  /** Camera less gates, of the ball's passage at a gate, on the shot's time axis: only of a camera that the trigger starts. */
  readonly passage?: { readonly gate: string; readonly differenceS: Measured };
  /** At the flight line, in the middle of what was marked. */
  readonly scalePxPerM?: Measured;
  /** From square to the flight line; positive: it looks down the range. */
  readonly squarenessRad?: Measured;
  /** Since the firing for a camera that the trigger starts, else since the first frame of the track; of each frame of the track. */
  readonly frameTimesS?: readonly number[];
  /** Of each frame of the track: where the ball was, and how far its mark is from where the fit has it. */
  readonly positionsM?: readonly number[];
  readonly residualsPx?: readonly number[];
  /** Of each mark. */
  readonly markResidualsPx?: readonly number[];
  /** Weighted sum of squares of the residuals, and what it should be about. */
  readonly chiSquared?: number;
  readonly degreesOfFreedom?: number;
}

/** What one camera has of a shot. */
export interface ShotCamera {
  readonly camera: string;
  /** As the camera or the crew named it; empty where nobody said. */
  readonly clip: string;
  /** Session time of the newest act. */
  readonly atNs: SessionNs;
  readonly who: string;
  readonly track?: CameraTrack;
  /** The track is kept and does not count: there is no check. */
  readonly withdrawal?: { readonly atNs: SessionNs; readonly reason: string; readonly who: string };
  readonly check?: CrossCheck;
  /** Only where the rig file asks for it. */
  readonly agreement?: CameraAgreementVerdict;
}
