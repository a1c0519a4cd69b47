/**
 * An exponential towards a level, with or without a slow loss besides: base·exp(slope·t/base) + amplitude·exp(−t/τ). The
 * slope is that at t = 0, and what is lost is lost in proportion to what is there, as gas through a small leak (choked flow).
 * Observations are means over spans of time, and so are the predictions, so that a span may be long against τ.
 * The time constant is fitted by its logarithm, whose uncertainty is nearer to normal.
 */
import { at } from './at.ts';
import { fitLeastSquares, type Parameter } from './least-squares.ts';
import { straightLine } from './straight-line.ts';

/** Mean of a reading over a span. */
export interface SpanMean {
  readonly fromS: number;
  /** > fromS */
  readonly toS: number;
  readonly mean: number;
  /** k = 1, > 0. */
  readonly standardUncertainty: number;
}

/** base, amplitude, ln τ and, where asked for, the slope at t = 0. */
export type DecayParameters = readonly number[];

export interface DecayFit {
  readonly base: number;
  /** At t = 0. */
  readonly amplitude: number;
  readonly logTimeConstant: number;
  /** At t = 0; 0 where none was asked for. */
  readonly slope: number;
  readonly standardUncertainties: DecayParameters;
  /** Residuals' squares over degrees of freedom; the uncertainties are widened by its root where it is above 1. */
  readonly reducedChiSquared: number;
  /** A quantity that follows from the parameters, with its uncertainty (JCGM 100:2008, 5.2.2, eq. (13)). */
  quantity(of: (parameters: DecayParameters) => number): { readonly value: number; readonly standardUncertainty: number };
}

export interface DecayProblem {
  /** At least 5. */
  readonly spans: readonly SpanMean[];
  /** Known of the slope beforehand; absent: no slope. */
  readonly slope?: { readonly value: number; readonly standardUncertainty: number };
  /** A time constant to begin from, s; absent: one is looked for. */
  readonly startS?: number;
}

/** Next to nothing is known of a time constant: a factor of 20 either way of 10 s covers bottles and workshop vessels. */
const LOG_TIME_CONSTANT = { value: Math.log(10), standardUncertainty: 1.5 };

const ITERATIONS_MAX = 40;

/** The model at a moment. */
export const decayAt = ([base = 0, amplitude = 0, logTau = 0, slope = 0]: DecayParameters, tS: number): number =>
  levelAt(base, slope, tS) + amplitude * Math.exp(-tS / Math.exp(logTau));

/** The slope that is left of it at a moment, without the decay. */
export const slopeAt = ([base = 0, , , slope = 0]: DecayParameters, tS: number): number => slope * shareAt(base, slope, tS);

/** Of a level of nothing or less nothing is a share: it moves along a straight line. */
const shareAt = (base: number, slope: number, tS: number): number => (base > 0 ? Math.exp((slope * tS) / base) : 1);
const levelAt = (base: number, slope: number, tS: number): number => (base > 0 ? base * shareAt(base, slope, tS) : base + slope * tS);

/** Mean of the level over a span. */
function meanLevel(span: SpanMean, base: number, slope: number): number {
  const half = base > 0 ? (slope * (span.toS - span.fromS)) / (2 * base) : 0;
  const level = levelAt(base, slope, middle(span));
  return base > 0 ? level * (1 + (half * half) / 6) : level;
}

/** @returns undefined where the spans do not tell the parameters apart */
export function fitDecay({ spans, slope, startS }: DecayProblem): DecayFit | undefined {
  if (spans.length < 5) return undefined;
  // A search may fail from one start, most often where the slope bent the row of constants; the next best then serves.
  for (const start of startsFrom(spans, startS)) {
    const fit = fitFrom(spans, slope, start);
    if (fit) return fit;
  }
  return undefined;
}

function fitFrom(spans: readonly SpanMean[], slope: DecayProblem['slope'], start: Start): DecayFit | undefined {
  const free = { value: 0, standardUncertainty: Number.POSITIVE_INFINITY };
  const parameters: readonly Parameter[] = [
    { name: 'base', unit: '', start: start.base, prior: free },
    { name: 'amplitude', unit: '', start: start.amplitude, prior: free },
    { name: 'log time constant', unit: '', start: start.logTau, prior: LOG_TIME_CONSTANT },
    ...(slope ? [{ name: 'slope', unit: '', start: slope.value, prior: slope }] : []),
  ];
  const fit = fitLeastSquares({
    predict: ([base = 0, amplitude = 0, logTau = 0, s = 0]) => {
      const tau = Math.exp(logTau);
      return spans.map((span) => meanLevel(span, base, s) + amplitude * meanDecay(span, tau));
    },
    jacobian: ([base = 0, amplitude = 0, logTau = 0, s = 0]) => {
      const tau = Math.exp(logTau);
      return spans.map((span) => {
        const share = shareAt(base, s, middle(span));
        const byBase = base > 0 ? share * (1 - (s * middle(span)) / base) : 1;
        const row = [byBase, meanDecay(span, tau), amplitude * meanDecaySlope(span, tau)];
        return slope ? [...row, middle(span) * share] : row;
      });
    },
    observed: spans.map((span) => span.mean),
    weightUncertainty: spans.map((span) => span.standardUncertainty),
    parameters,
    influences: () => [],
    iterationsMax: ITERATIONS_MAX,
  });
  if (!fit) return undefined;
  const reducedChiSquared = fit.chiSquared / Math.max(1, fit.degreesOfFreedom);
  const widening = Math.sqrt(Math.max(1, reducedChiSquared));
  const standardUncertainties = fit.covariance.map((row, j) => widening * Math.sqrt(at(row, j)));
  const { values } = fit;
  return {
    base: at(values, 0),
    amplitude: at(values, 1),
    logTimeConstant: at(values, 2),
    slope: values[3] ?? 0,
    standardUncertainties,
    reducedChiSquared,
    quantity: (of) => {
      const gradient = values.map((value, j) => {
        const half = at(standardUncertainties, j) / 20;
        return half > 0 ? (of(values.with(j, value + half)) - of(values.with(j, value - half))) / (2 * half) : 0;
      });
      const variance = fit.covariance.reduce(
        (sum, row, i) => sum + row.reduce((part, c, j) => part + at(gradient, i) * c * at(gradient, j), 0),
        0,
      );
      return { value: of(values), standardUncertainty: widening * Math.sqrt(Math.max(0, variance)) };
    },
  };
}

const middle = (span: SpanMean): number => (span.fromS + span.toS) / 2;

/** Mean of exp(−t/τ) over a span. */
function meanDecay(span: SpanMean, tau: number): number {
  const h = (span.toS - span.fromS) / (2 * tau);
  if (h < 1e-3) return Math.exp(-middle(span) / tau) * (1 + (h * h) / 6);
  return (Math.exp(-span.fromS / tau) - Math.exp(-span.toS / tau)) / (2 * h);
}

/** Its derivative by ln τ. */
function meanDecaySlope(span: SpanMean, tau: number): number {
  const m = middle(span) / tau;
  const h = (span.toS - span.fromS) / (2 * tau);
  if (h < 1e-3) return Math.exp(-m) * (m * (1 + (h * h) / 6) - (h * h) / 3);
  const width = span.toS - span.fromS;
  return meanDecay(span, tau) + (span.fromS * Math.exp(-span.fromS / tau) - span.toS * Math.exp(-span.toS / tau)) / width;
}

interface Start {
  readonly base: number;
  readonly amplitude: number;
  readonly logTau: number;
  readonly misfit: number;
}

/** For a given time constant base and amplitude are a straight line over the decay; the best of a row of constants comes first. */
function startsFrom(spans: readonly SpanMean[], startS: number | undefined): readonly Start[] {
  const first = at(spans, 0);
  const lengthS = at(spans, spans.length - 1).toS - first.fromS;
  const taus = startS ? [startS] : Array.from({ length: 14 }, (_, k) => (lengthS / 60) * 2 ** (k * 0.8));
  return taus
    .flatMap((tau): readonly Start[] => {
      const points = spans.map((span) => ({ x: meanDecay(span, tau), y: span.mean, standardUncertainty: span.standardUncertainty }));
      const line = straightLine(points);
      if (!line) return [];
      const base = line.levelAtMiddle - line.slope * line.middleX;
      return [{ base, amplitude: line.slope, logTau: Math.log(tau), misfit: line.reducedChiSquared }];
    })
    .sort((a, b) => a.misfit - b.misfit);
}
