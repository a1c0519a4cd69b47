/** What the crew say of cameras: what a clip is called, and where the ball is in it. */
import { type CameraSummary, type CameraTrack, type OperatorAct, type SessionNs, TRACK_LIMITS } from '../../../protocol/index.ts';
import type { Rig } from '../../rig/index.ts';
import { noSuch } from './no-such.ts';
import { type CrewState, TRACKS_MAX, type TrackTold } from './state.ts';
import { type ActStep, refused } from './step.ts';
import { hasShot, noShot } from './target-acts.ts';

export function takeClip(state: CrewState, rig: Rig, act: Extract<OperatorAct, { act: 'clip' }>, atNs: SessionNs): ActStep {
  const { shotId, camera, clip, who } = act;
  const why = whyNot(state, rig, act) ?? (clip.trim() === '' ? 'a clip needs a name; write one' : undefined);
  if (why !== undefined) return refused(state, act, why, atNs);
  return [state, [{ type: 'camera-act', atNs, shotId, camera, clip, who }]];
}

/** Told again, a track takes the place of what was told before. */
export function takeTrack(state: CrewState, rig: Rig, act: Extract<OperatorAct, { act: 'camera-track' }>, atNs: SessionNs): ActStep {
  const { shotId, camera, clip, track, who } = act;
  const setUp = rig.cameras.find(({ name }) => name === camera);
  const why = whyNot(state, rig, act) ?? (setUp && whyNoTrack(setUp, track));
  if (why !== undefined) return refused(state, act, why, atNs);
  return [withTrack(state, { shotId, camera, withdrawn: false }), [{ type: 'camera-act', atNs, shotId, camera, clip, track, who }]];
}

/** A track that is withdrawn stays told, and may count again. */
export function takeWithdrawal(state: CrewState, rig: Rig, act: Extract<OperatorAct, { act: 'withdraw-track' }>, atNs: SessionNs): ActStep {
  const { shotId, camera, withdrawn, reason, who } = act;
  const why = whyNot(state, rig, act) ?? whyNoWithdrawal(state, act);
  if (why !== undefined) return refused(state, act, why, atNs);
  return [withTrack(state, { shotId, camera, withdrawn }), [{ type: 'track-withdrawn', atNs, shotId, camera, withdrawn, reason, who }]];
}

function whyNoWithdrawal(
  { tracks }: CrewState,
  { shotId, camera, withdrawn, reason }: Extract<OperatorAct, { act: 'withdraw-track' }>,
): string | undefined {
  const known = tracks.find((track) => isSame(track, { shotId, camera }));
  if (!known) return `camera ${camera} has no track of shot ${shotId}; there is nothing to withdraw`;
  if (known.withdrawn === withdrawn)
    return `the track of camera ${camera}, shot ${shotId}, ${withdrawn ? 'is withdrawn already' : 'is not withdrawn'}`;
  return reason.trim() === '' ? `say why the track is ${withdrawn ? 'withdrawn' : 'taken in again'}` : undefined;
}

const withTrack = (state: CrewState, track: TrackTold): CrewState => ({
  ...state,
  tracks: [...state.tracks.filter((other) => !isSame(other, track)), track].slice(-TRACKS_MAX),
});

const isSame = (one: Omit<TrackTold, 'withdrawn'>, other: Omit<TrackTold, 'withdrawn'>): boolean =>
  one.shotId === other.shotId && one.camera === other.camera;

const whyNot = (state: CrewState, { cameras }: Rig, { shotId, camera }: { readonly shotId: string; readonly camera: string }) => {
  if (!hasShot(state, shotId)) return noShot(shotId);
  const names = cameras.map(({ name }) => name);
  return names.includes(camera) ? undefined : noSuch('camera', camera, names);
};

/** A journal may hold anything; what comes by HTTP has passed the like already. */
function whyNoTrack(camera: CameraSummary, { marks, frames }: CameraTrack): string | undefined {
  const names = camera.marks.map(({ name }) => name);
  const stranger = marks.find(({ name }) => !names.includes(name));
  if (stranger) return noSuch(`mark of camera ${camera.name} called`, stranger.name, names);
  if (new Set(marks.map(({ name }) => name)).size < marks.length) return 'the track has one mark twice; keep one of the two';
  if (marks.length < 2) return `the track has ${marks.length} of the marks; a scale needs two`;
  const { framesMin, framesMax, frameMax, pxMax } = TRACK_LIMITS;
  if (!(frames.length >= framesMin && frames.length <= framesMax))
    return `the track has ${frames.length} frames, and ${framesMin} to ${framesMax} are taken`;
  const inOrder = frames.every(({ frame }, i) => {
    return Number.isInteger(frame) && frame >= 0 && frame <= frameMax && frame > (frames[i - 1]?.frame ?? -1);
  });
  if (!inOrder) return 'the frames of the track are not in ascending order of their whole numbers; sort them';
  const inPicture = [...marks, ...frames].every(({ xPx, yPx }) => Math.abs(xPx) <= pxMax && Math.abs(yPx) <= pxMax);
  return inPicture ? undefined : 'a place in the track lies outside every picture; mark it again';
}
