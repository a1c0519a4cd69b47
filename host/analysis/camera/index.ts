export { cameraAgreement } from './camera-agreement.ts';
export { type CheckableShot, crossCheck } from './cross-check.ts';
