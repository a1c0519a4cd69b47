export { INITIAL_STATE, type PipelineState } from './state.ts';
export { finish, type Step, step } from './step.ts';
export type { ReadLine, TextCounters, TextFault, TextFormat } from './text-lines.ts';
export { countLine, linesPerS, NO_LINES, readTextLine, typicalIntervalNs } from './text-lines.ts';
