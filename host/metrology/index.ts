export type { Stated } from './agreement.ts';
export { agreementScore } from './agreement.ts';
export { chiSquaredLimit } from './chi-squared.ts';
export type { ClockClaim, ClockExchange, ClockFit, ClockHistory } from './clock-fit.ts';
export { fitClock, hostNs, hostNsStandardUncertainty, keepExchange, NO_EXCHANGES } from './clock-fit.ts';
export type { Conformity, Tolerance } from './conformity.ts';
export { conformanceProbability, conformity } from './conformity.ts';
export type { CorrelatedInput } from './correlated-inputs.ts';
export { correlatedInputs } from './correlated-inputs.ts';
export { correlation, covariance } from './covariance.ts';
export { coverageFactor, effectiveDegreesOfFreedom, expandedUncertainty } from './coverage.ts';
export type { DecayFit, DecayParameters, DecayProblem, SpanMean } from './decay-fit.ts';
export { decayAt, fitDecay, slopeAt } from './decay-fit.ts';
export type { Distribution } from './distributions.ts';
export { distributionStandardUncertainty } from './distributions.ts';
export {
  arcsineStandardUncertainty,
  digitStandardUncertainty,
  rectangularStandardUncertainty,
  triangularStandardUncertainty,
} from './divisors.ts';
export type { Estimate, Known, Term } from './estimate.ts';
export { combine, derive, deriveAll, exact, input, standardUncertainty } from './estimate.ts';
export type { Fit, FitProblem, Influence, Parameter } from './least-squares.ts';
export { fitLeastSquares } from './least-squares.ts';
export type { LinearFit, LinearProblem } from './linear-fit.ts';
export { weightedLinearFit } from './linear-fit.ts';
export { covarianceAlong, type LinearGaussian, linearGaussian, varianceAlong } from './linear-gaussian.ts';
export type { MonteCarloOptions, MonteCarloResult } from './monte-carlo.ts';
export { monteCarlo } from './monte-carlo.ts';
export { mixtureMoments, mixtureQuantile, type NormalPart, probabilityBelow } from './normal-mixture.ts';
export type { Mean } from './observations.ts';
export { meanOf, observedTogether } from './observations.ts';
export type { RobustSlope } from './robust-slope.ts';
export { robustSlope } from './robust-slope.ts';
export type { ScaledQr } from './scaled-qr.ts';
export { scaledQr } from './scaled-qr.ts';
export { secondOrderUncertainty } from './second-order.ts';
export type { SlopeNoise } from './slope-in-time.ts';
export { DETECTION_FACTOR, durationToSee, slopeStandardUncertainty } from './slope-in-time.ts';
export type { Line, LinePoint } from './straight-line.ts';
export { straightLine } from './straight-line.ts';
