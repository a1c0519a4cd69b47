import type { ShotCameraEvent } from '../../../protocol/index.ts';

/** What the terminal says of a camera's clip or track. */
export function cameraLine({ shotId, of: { camera, clip, who, check, track } }: ShotCameraEvent): string {
  const named = clip === '' ? '' : ` (clip ${clip})`;
  if (check) return `Camera ${camera}${named} of shot ${shotId}: ${check.words}`;
  return `Camera ${camera} of shot ${shotId}${named}: ${track ? 'track' : 'clip'} told by ${who}.`;
}
