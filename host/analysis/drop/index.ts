export type { BeamBlock, GateEdge } from './beam-blocks.ts';
export type { DropCheck } from './drop-check.ts';
export { dropCheck } from './drop-check.ts';
export type { DropSetup, ExpectedFall } from './expected-fall.ts';
export type { BoardClock, Drop } from './measured-fall.ts';
