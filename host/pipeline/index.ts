export { INITIAL_STATE, type PipelineState } from './state.ts';
export { type Step, step } from './step.ts';
