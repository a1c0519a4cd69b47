export { type Design, designOver, type Experiment, type Known, leaningMean, type PlaceRows } from './expected-gain.ts';
export { type KindChoice, type MapBook, mapBook } from './map-book.ts';
export { placeRows } from './place-rows.ts';
export { type PlanWishes, regionOf, suggestionsFor } from './plan-for-map.ts';
export { gridOf, type PlanOptions, planMapShot, type Region, type ShotSuggestion } from './plan-map-shot.ts';
export { type CostModel, type SetPoint, shotCost, USUAL_COST } from './shot-cost.ts';
