export { type Adjusting, adjusted, calibrated, type ReadAndShould, unadjusted, zeroed } from './adjust.ts';
export { type CrewState, followEvents, NEW_CREW, takeAct } from './crew.ts';
export { offsetAtAmbient } from './offset.ts';
export { calibrationOverdue } from './overdue.ts';
