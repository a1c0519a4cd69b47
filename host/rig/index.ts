export { calibrate } from './calibrate.ts';
export { DEFAULTS } from './defaults.ts';
export type { RigLoad } from './load.ts';
export { loadRig } from './load.ts';
export type {
  AssumedAir,
  BoardSetup,
  Channel,
  Gate,
  Projectile,
  Rig,
  RigProblem,
  UncertainSi,
} from './rig.ts';
export { RIG_FILE_BYTES_MAX } from './source.ts';
export { summarise } from './summarise.ts';
