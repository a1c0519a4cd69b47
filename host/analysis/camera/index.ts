export { type CheckableShot, crossCheck } from './cross-check.ts';
export { readTrack, TRACK_FILE_BYTES_MAX, type TrackRead } from './read-track.ts';
