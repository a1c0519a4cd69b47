/**
 * Ties a board's ticks to host time from exchanges of stamps.
 *
 * Each exchange bounds the offset between the clocks by half its round trip (RFC 5905, section 8). Of each second only
 * the exchange with the shortest round trip is kept, since a longer one has met a queue somewhere; a straight line
 * through those gives offset and rate. The rig file's claim for the board's oscillator enters as prior knowledge, so
 * that the rate is never worse than the claim, however short the session.
 */

/** One PING and its STAMP. */
export interface ClockExchange {
  readonly sentNs: number;
  readonly receivedTicks: number;
  readonly repliedTicks: number;
  readonly arrivedNs: number;
}

export interface ClockFit {
  /** Host time = referenceNs + (ticks − referenceTicks) · nsPerTick. */
  readonly referenceTicks: number;
  readonly referenceNs: number;
  readonly nsPerTick: number;
  /** Relative, k = 1. */
  readonly rateStandardUncertainty: number;
  /** Board's rate over nominal, less 1: positive runs fast. */
  readonly rateError: number;
  /** What a straight line through a rate that drifts may be off by. */
  readonly bend: ClockBend;
  /** At the reference, k = 1, including what an asymmetric line could hide. */
  readonly offsetStandardUncertaintyNs: number;
  readonly roundTripNs: number;
  readonly exchangesUsed: number;
}

/**
 * Host time that really runs as c·x² beside the fitted line, x from the reference, is off by c·(x² − m₂ − x·m₃/m₂): what
 * a weighted straight line leaves of a parabola, m₂ and m₃ being the weighted mean square and cube of the exchanges' x.
 */
export interface ClockBend {
  /** Of c, 1/ns, k = 1. */
  readonly standardUncertaintyPerNs: number;
  readonly meanSquareNs2: number;
  /** m₃/m₂; 0 where all exchanges are at one moment. */
  readonly skewNs: number;
}

export interface ClockClaim {
  readonly tickRateHz: number;
  /** k = 1. */
  readonly tickRateStandardUncertaintyHz: number;
}

/** Kept exchanges, oldest first, one a second. */
export interface ClockHistory {
  readonly kept: readonly ClockExchange[];
  readonly seen: number;
}

export const NO_EXCHANGES: ClockHistory = { kept: [], seen: 0 };

/** Two minutes: long against the jitter, short against an oscillator's warming up. */
const KEPT_MAX = 120;
const BUCKET_NS = 1e9;
/**
 * How fast an oscillator's rate may drift, k = 1: 0.01 ppm a second, a part in a million for each degree at half a
 * degree a minute, with room. From memory, common practice.
 */
const DRIFT_PER_S = 1e-8;
/** Scatter of time stamps taken in a user process, from the trial on a pseudo-terminal (round trip 0.13 ms). */
const STAMP_FLOOR_NS = 20_000;

const roundTripNs = (exchange: ClockExchange, nsPerTick: number): number =>
  exchange.arrivedNs - exchange.sentNs - (exchange.repliedTicks - exchange.receivedTicks) * nsPerTick;

/** Adds an exchange; the oldest second is let go when the history is full. */
export function keepExchange(history: ClockHistory, exchange: ClockExchange, claim: ClockClaim): ClockHistory {
  const nsPerTick = 1e9 / claim.tickRateHz;
  const last = history.kept.at(-1);
  const seen = history.seen + 1;
  if (last && Math.floor(last.arrivedNs / BUCKET_NS) === Math.floor(exchange.arrivedNs / BUCKET_NS)) {
    if (roundTripNs(last, nsPerTick) <= roundTripNs(exchange, nsPerTick)) return { ...history, seen };
    return { kept: [...history.kept.slice(0, -1), exchange], seen };
  }
  return { kept: [...history.kept.slice(-(KEPT_MAX - 1)), exchange], seen };
}

/** @returns undefined before the first exchange */
export function fitClock(history: ClockHistory, claim: ClockClaim): ClockFit | undefined {
  const { kept } = history;
  const newest = kept.at(-1);
  if (!newest) return undefined;
  const nominalNsPerTick = 1e9 / claim.tickRateHz;
  const trips = kept.map((exchange) => roundTripNs(exchange, nominalNsPerTick));
  const shortestNs = Math.max(0, Math.min(...trips));
  const typicalExcessNs = median(trips) - shortestNs;

  // y = how far host time runs ahead of nominal board time; x = nominal board time; both from the newest exchange.
  const origin = middle(newest);
  const points = kept.map((exchange, i) => {
    const mid = middle(exchange);
    const x = (mid.ticks - origin.ticks) * nominalNsPerTick;
    // What one leg may have taken longer than the other: this trip's excess over the shortest, and what the shortest
    // itself may hide, since its legs need not both have been quick: half the typical excess, more while trips are few.
    const hidden = Math.max(0, (trips[i] as number) - shortestNs) + typicalExcessNs / 2 + shortestNs / kept.length;
    return { x, y: mid.ns - origin.ns - x, variance: STAMP_FLOOR_NS ** 2 + hidden ** 2 / 12 };
  });
  const total = points.reduce((sum, p) => sum + 1 / p.variance, 0);
  const meanX = points.reduce((sum, p) => sum + p.x / p.variance, 0) / total;
  const meanTripNs = points.reduce((sum, p, i) => sum + Math.max(0, trips[i] as number) / p.variance, 0) / total;
  const meanY = points.reduce((sum, p) => sum + p.y / p.variance, 0) / total;
  const sxx = points.reduce((sum, p) => sum + (p.x - meanX) ** 2 / p.variance, 0);
  const sxy = points.reduce((sum, p) => sum + ((p.x - meanX) * (p.y - meanY)) / p.variance, 0);

  const priorWeight = (claim.tickRateHz / claim.tickRateStandardUncertaintyHz) ** 2;
  const slope = sxy / (sxx + priorWeight);
  const scatter = points.reduce((sum, p) => sum + (p.y - meanY - slope * (p.x - meanX)) ** 2 / p.variance, 0);
  // Birge ratio: scatter beyond what the round trips explain widens the result, less scatter never narrows it.
  const birge = points.length > 2 ? Math.max(1, scatter / (points.length - 2)) : 1;
  const rateVariance = sxx === 0 ? 1 / priorWeight : 1 / (sxx / birge + priorWeight);
  const meanSquareNs2 = sxx / total;
  const meanCubeNs3 = points.reduce((sum, p) => sum + (p.x - meanX) ** 3 / p.variance, 0) / total;
  const skewNs = meanSquareNs2 === 0 ? 0 : meanCubeNs3 / meanSquareNs2;
  const bend = { standardUncertaintyPerNs: DRIFT_PER_S / 2 / 1e9, meanSquareNs2, skewNs };
  // The rate of now, where shots are timed: at the newest exchange, which is at x = 0.
  const driftedRate = bend.standardUncertaintyPerNs * (-2 * meanX - skewNs);
  return {
    referenceTicks: origin.ticks + meanX / nominalNsPerTick,
    referenceNs: origin.ns + meanX + meanY,
    nsPerTick: nominalNsPerTick * (1 + slope),
    rateStandardUncertainty: Math.min(Math.hypot(Math.sqrt(rateVariance), driftedRate), 1 / Math.sqrt(priorWeight)),
    bend,
    rateError: 1 / (1 + slope) - 1,
    // A line whose delays are all on one leg (a USB adapter that hands over every 16 ms) shifts every exchange the same
    // way, and no number of them averages that out: half of what they took, weighted as they were, bounds it.
    offsetStandardUncertaintyNs: Math.sqrt(birge / total + meanTripNs ** 2 / 12),
    roundTripNs: shortestNs,
    exchangesUsed: kept.length,
  };
}

/** Host time of a board's tick, session ns, fractional. */
export const hostNs = (fit: ClockFit, ticks: number): number => fit.referenceNs + (ticks - fit.referenceTicks) * fit.nsPerTick;

/** Of the mapped time, k = 1, ns: the offset's and, away from the reference, the rate's and its drift's. */
export function hostNsStandardUncertainty(fit: ClockFit, ticks: number): number {
  const { standardUncertaintyPerNs, meanSquareNs2, skewNs } = fit.bend;
  const x = (ticks - fit.referenceTicks) * fit.nsPerTick;
  const bent = standardUncertaintyPerNs * (x ** 2 - meanSquareNs2 - x * skewNs);
  return Math.hypot(fit.offsetStandardUncertaintyNs, x * fit.rateStandardUncertainty, bent);
}

function middle(exchange: ClockExchange): { readonly ns: number; readonly ticks: number } {
  return { ns: (exchange.sentNs + exchange.arrivedNs) / 2, ticks: (exchange.receivedTicks + exchange.repliedTicks) / 2 };
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
}
