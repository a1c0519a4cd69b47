export type { ClockClaim, ClockExchange, ClockFit, ClockHistory } from './clock-fit.ts';
export { fitClock, hostNs, hostNsStandardUncertainty, keepExchange, NO_EXCHANGES } from './clock-fit.ts';
export type { Estimate, Term } from './estimate.ts';
export { combine, derive, exact, input, standardUncertainty } from './estimate.ts';
export type { Fit, Influence, Parameter } from './least-squares.ts';
export { fitLeastSquares } from './least-squares.ts';
