export { type Adjusting, calibrated, type ReadAndShould, zeroed } from './adjust.ts';
export { type CrewState, followEvents, NEW_CREW, takeAct } from './crew.ts';
