export { type CheckableShot, crossCheck } from './cross-check.ts';
