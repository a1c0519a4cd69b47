/**
 * Cameras held against gates, as one more fold over the pipeline's events: a track that was marked is evaluated with the
 * shot that it is of, and anew where that shot is told anew. Live, replay and rebuild fold alike, so a check is derived
 * data as a shot is. It stands here and not in the pipeline because it is an analysis: the pipeline knows none.
 */
import type {
  CameraActEvent,
  PipelineEvent,
  RigSummary,
  SessionNs,
  Shot,
  ShotCamera,
  ShotCameraEvent,
  TrackWithdrawnEvent,
} from '../../../protocol/index.ts';
import { type CheckableShot, cameraAgreement, crossCheck } from '../../analysis/camera/index.ts';

interface Known {
  readonly id: string;
  /** Undefined until it is closed. */
  readonly shot: CheckableShot | undefined;
  /** Under which it was reduced. */
  readonly rig: RigSummary | undefined;
  readonly cameras: readonly ShotCamera[];
}

export interface Checking {
  readonly rig: RigSummary | undefined;
  /** Oldest first, at most SHOTS_MAX. */
  readonly shots: readonly Known[];
}

export const NOTHING_CHECKED: Checking = { rig: undefined, shots: [] };

/** As many as the crew's fold remembers. */
const SHOTS_MAX = 1000;

/** @returns the events with what follows from them behind each */
export function thenCheck(before: Checking, events: readonly PipelineEvent[]): readonly [Checking, readonly PipelineEvent[]] {
  if (!events.some(isConcern)) return [before, events];
  let state = before;
  const all = events.flatMap((event): readonly PipelineEvent[] => {
    const [next, told] = take(state, event);
    state = next;
    return [event, ...told];
  });
  return [state, all];
}

const isConcern = (event: PipelineEvent): boolean =>
  event.type === 'session' ||
  event.type === 'camera-act' ||
  event.type === 'track-withdrawn' ||
  (event.type === 'shot' && event.phase === 'closed');

type Step = readonly [Checking, readonly ShotCameraEvent[]];

function take(state: Checking, event: PipelineEvent): Step {
  if (event.type === 'session') return [{ ...state, rig: event.rig }, []];
  if (event.type === 'camera-act') return takeAct(state, event);
  if (event.type === 'track-withdrawn') return takeWithdrawal(state, event);
  if (event.type === 'shot' && event.phase === 'closed') return takeShot(state, event.shot, event.atNs);
  return [state, []];
}

function checkable({ firedBy, pairs, passages, air, muzzleVelocityMps, weighed }: Shot): CheckableShot {
  return { firedBy, pairs, passages, air, ...(muzzleVelocityMps ? { muzzleVelocityMps } : {}), ...(weighed ? { weighed } : {}) };
}

function takeShot(state: Checking, told: Shot, atNs: SessionNs): Step {
  const { id } = told;
  const shot = checkable(told);
  const known = state.shots.find((each) => each.id === id);
  const cameras = (known?.cameras ?? []).map((camera) => checked(camera, shot, state.rig));
  const next = withKnown(state, { id, shot, rig: state.rig, cameras });
  return [next, cameras.filter(({ track }) => track).map((of) => ({ type: 'shot-camera', atNs, shotId: id, of }))];
}

function takeAct(state: Checking, { atNs, shotId, camera, clip, track, who }: CameraActEvent): Step {
  const known = state.shots.find((each) => each.id === shotId) ?? { id: shotId, shot: undefined, rig: undefined, cameras: [] };
  const before = known.cameras.find((each) => each.camera === camera);
  const kept = track ?? before?.track;
  // A clip's name says nothing of the track.
  const withdrawal = track ? undefined : before?.withdrawal;
  return told(state, known, atNs, {
    ...{ camera, clip: clip === '' ? (before?.clip ?? '') : clip, atNs, who },
    ...(kept ? { track: kept } : {}),
    ...(withdrawal ? { withdrawal } : {}),
  });
}

function takeWithdrawal(state: Checking, { atNs, shotId, camera, withdrawn, reason, who }: TrackWithdrawnEvent): Step {
  const known = state.shots.find((each) => each.id === shotId);
  const before = known?.cameras.find((each) => each.camera === camera);
  if (!known || !before) return [state, []];
  const { withdrawal: _, ...counted } = before;
  return told(state, known, atNs, withdrawn ? { ...counted, withdrawal: { atNs, reason, who } } : counted);
}

function told(state: Checking, known: Known, atNs: SessionNs, camera: ShotCamera): Step {
  const of = checked(camera, known.shot, known.rig);
  const cameras = [...known.cameras.filter((each) => each.camera !== of.camera), of].sort((a, b) => (a.camera < b.camera ? -1 : 1));
  return [withKnown(state, { ...known, cameras }), [{ type: 'shot-camera', atNs, shotId: known.id, of }]];
}

function checked(camera: ShotCamera, shot: CheckableShot | undefined, rig: RigSummary | undefined): ShotCamera {
  const { track, check: _check, agreement: _agreement, ...rest } = camera;
  if (!track) return rest;
  if (!shot || !rig) return { ...rest, track };
  const of: ShotCamera = rest.withdrawal ? { ...rest, track } : { ...rest, track, check: crossCheck(camera.camera, track, shot, rig) };
  const asked = rig.cameraAgreement?.find((each) => each.camera === camera.camera);
  return asked ? { ...of, agreement: cameraAgreement(asked, of) } : of;
}

function withKnown(state: Checking, known: Known): Checking {
  const place = state.shots.findIndex(({ id }) => id === known.id);
  const shots = place < 0 ? [...state.shots, known].slice(-SHOTS_MAX) : state.shots.with(place, known);
  return { ...state, shots };
}
