export { type Adjusted, type AdjustmentPoint, adjusted, calibrated, spanOf, UNADJUSTED, unadjusted, zeroed } from './adjustment.ts';
export { crewContext } from './context.ts';
export { offsetAtAmbient } from './offset.ts';
export { calibrationOverdue } from './overdue.ts';
export { type CrewState, NEW_CREW } from './state.ts';
export { takeAct } from './take-act.ts';
export { keepAdjustments, takeEvents } from './take-events.ts';
