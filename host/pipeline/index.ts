export { channelShown, proposeCalibration, proposeZero, type Told } from './crew/channel-shown.ts';
export { type Difference, differenceOf } from './difference.ts';
export { INITIAL_STATE, type PipelineState } from './state.ts';
export { finish, type Step, step } from './step.ts';
export type { TextCounters, TextFault } from './text-counters.ts';
export { countLine, linesPerS, NO_LINES, typicalIntervalNs } from './text-counters.ts';
export { bootIdOf } from './time.ts';
export { blowDownWords } from './watches/index.ts';
