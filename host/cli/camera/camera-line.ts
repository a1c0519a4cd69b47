import type { ShotCamera, ShotCameraEvent } from '../../../protocol/index.ts';

/** What the terminal says of a camera's clip or track. */
export function cameraLine({ shotId, of: { camera, clip, who, check, track, withdrawal } }: ShotCameraEvent): string {
  const named = clip === '' ? '' : ` (clip ${clip})`;
  if (withdrawal) return `Camera ${camera}${named} of shot ${shotId}: its track is ${withdrawnWords(withdrawal)}`;
  if (check) return `Camera ${camera}${named} of shot ${shotId}: ${check.words}`;
  return `Camera ${camera} of shot ${shotId}${named}: ${track ? 'track' : 'clip'} told by ${who}.`;
}

/** With its full stop, after "its track is". */
export const withdrawnWords = ({ reason, who }: NonNullable<ShotCamera['withdrawal']>): string =>
  `withdrawn by ${who} and does not count: ${reason}.`;
