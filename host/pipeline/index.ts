export { INITIAL_STATE, type PipelineState } from './state.ts';
export { finish, type Step, step } from './step.ts';
