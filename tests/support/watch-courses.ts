/** Synthetic courses for the watches: a true pressure over time, a sensor with noise, offset, gain error and drift, and blocks. */
import { type Random, randomStream } from '../../firmware-sim/world/random.ts';
import {
  type ChannelWatchSetup,
  type FillSetup,
  NEW_WATCHES,
  takeSamples,
  type WatchSamples,
  type WatchSetup,
  type WatchState,
} from '../../host/pipeline/watches/index.ts';
import type { WatchEvent } from '../../protocol/index.ts';

export const AMBIENT_PA = 98e3;

export const RESERVOIR: ChannelWatchSetup = {
  channel: 'reservoirPressure',
  standardUncertaintySi: 7500,
  driftSiPerS: 1,
  rails: [-600e3, 6.9e6],
  silentAfterS: 2,
};

export const BARREL: ChannelWatchSetup = {
  channel: 'barrelPressure',
  standardUncertaintySi: 500,
  driftSiPerS: 0.05,
  rails: [-45e3, 445e3],
  silentAfterS: 2,
};

export const FILL: FillSetup = {
  channel: 'reservoirPressure',
  targetPa: 3e6,
  bandPa: 30e3,
  maximumPa: 3.9e6,
  emptyBelowPa: 150e3,
  gamma: 1.4,
  ambientPa: AMBIENT_PA,
  wallTemperatureK: 285,
  wallDriftKPerS: 3e-4,
  reactionS: 2,
  leakExpectedPaPerS: 300,
  leakToSeePaPerS: 50,
};

export const SETUP: WatchSetup = {
  channels: [RESERVOIR, BARREL],
  fill: FILL,
  vacuum: { channel: 'barrelPressure', targetPa: 5e3, ambientPa: AMBIENT_PA },
  limits: [],
};

export interface Sensed {
  readonly random: Random;
  readonly noiseSi: number;
  /** A converter's step; 0: none. */
  readonly stepSi?: number;
  readonly offsetSi?: number;
  readonly gainError?: number;
  readonly driftSiPerS?: number;
}

/** One sample of a true value. */
export function sense(
  { random, noiseSi, stepSi = 0, offsetSi = 0, gainError = 0, driftSiPerS = 0 }: Sensed,
  trueSi: number,
  s: number,
): number {
  const value = trueSi * (1 + gainError) + offsetSi + driftSiPerS * s + noiseSi * random.normal();
  return stepSi > 0 ? Math.round(value / stepSi) * stepSi : value;
}

/** Blocks of `perBlock` samples from 0 to `lengthS`. */
export function* blocksOf(options: {
  readonly channel: string;
  readonly lengthS: number;
  readonly rateHz: number;
  readonly perBlock?: number;
  readonly fromS?: number;
  readonly valueAt: (s: number) => number;
}): Generator<WatchSamples> {
  const { channel, lengthS, rateHz, perBlock = 50, fromS = 0, valueAt } = options;
  const count = Math.round(lengthS * rateHz);
  for (let i = 0; i < count; i += perBlock) {
    const n = Math.min(perBlock, count - i);
    const valuesSi = Array.from({ length: n }, (_, k) => valueAt(fromS + (i + k) / rateHz));
    const fromNs = Math.round((fromS + i / rateHz) * 1e9);
    yield { channel, fromNs, periodNs: 1e9 / rateHz, valuesSi, atNs: fromNs + Math.round((n / rateHz) * 1e9) };
  }
}

export function runWatches(blocks: Iterable<WatchSamples>, setup: WatchSetup = SETUP, from: WatchState = NEW_WATCHES) {
  let state = from;
  const events: WatchEvent[] = [];
  for (const block of blocks) {
    const [next, told] = takeSamples(state, setup, block);
    state = next;
    events.push(...told);
  }
  return { state, events };
}

/** A fill: empty, a rise that slows, the valve shut, cooling, and a leak from then on. */
export interface FillCourse {
  readonly fillFromS: number;
  readonly shutAtS: number;
  readonly settledPa: number;
  /** Above settled when the valve was shut. */
  readonly hotPa: number;
  readonly tauS: number;
  readonly leakPaPerS: number;
  readonly strokesPa: number;
}

export function fillPa(course: FillCourse, s: number): number {
  const { fillFromS, shutAtS, settledPa, hotPa, tauS, leakPaPerS, strokesPa } = course;
  if (s < fillFromS) return AMBIENT_PA;
  const peakPa = settledPa + hotPa;
  if (s < shutAtS) {
    const part = (s - fillFromS) / (shutAtS - fillFromS);
    const shape = (1 - Math.exp(-1.5 * part)) / (1 - Math.exp(-1.5));
    return AMBIENT_PA + (peakPa - AMBIENT_PA) * shape + strokesPa * Math.sin(2 * Math.PI * 3 * s) * part * (1 - part);
  }
  const t = s - shutAtS;
  return settledPa + hotPa * Math.exp(-t / tauS) - leakPaPerS * t;
}

export function drawFill(random: Random): FillCourse {
  const fillFromS = 3;
  const shutAtS = fillFromS + random.between(12, 30);
  const settledPa = random.between(2e6, 3.5e6);
  return {
    fillFromS,
    shutAtS,
    settledPa,
    hotPa: settledPa * random.between(0.02, 0.06),
    tauS: random.between(2, 8),
    leakPaPerS: 100 * random.normal(),
    strokesPa: 3e3,
  };
}

/** Offset and gain that together make the stated uncertainty at a level, the gain at most all of it at the top. */
export function drawSensor(random: Random, claim: ChannelWatchSetup, levelSi: number, topSi: number, noiseSi: number): Sensed {
  const gain = claim.standardUncertaintySi / topSi;
  const rest = Math.sqrt(Math.max(0, claim.standardUncertaintySi ** 2 - (gain * levelSi) ** 2));
  return { random, noiseSi, offsetSi: rest * random.normal(), gainError: gain * random.normal() };
}

export const streamOf = (name: string, seed: number): Random => randomStream(seed, `watch-course/${name}`);

/** Share of normal scores within ± 1.96. */
export const covered = (scores: readonly number[]): number => scores.filter((z) => Math.abs(z) <= 1.96).length / scores.length;
export const rms = (scores: readonly number[]): number => Math.sqrt(scores.reduce((sum, z) => sum + z * z, 0) / scores.length);

/** A barrel: open, pumped down, the pump shut off, leaking up. */
export interface PumpCourse {
  readonly pumpFromS: number;
  readonly shutAtS: number;
  readonly basePa: number;
  readonly tauS: number;
  readonly leakPaPerS: number;
}

export function pumpPa({ pumpFromS, shutAtS, basePa, tauS, leakPaPerS }: PumpCourse, s: number): number {
  if (s < pumpFromS) return AMBIENT_PA;
  const pumped = (t: number) => basePa + (AMBIENT_PA - basePa) * Math.exp(-(t - pumpFromS) / tauS);
  return s < shutAtS ? pumped(s) : pumped(shutAtS) + leakPaPerS * (s - shutAtS);
}

export function drawPump(random: Random): PumpCourse {
  const pumpFromS = 3;
  const tauS = random.between(3, 10);
  return {
    pumpFromS,
    tauS,
    shutAtS: pumpFromS + tauS * random.between(6, 9),
    basePa: random.between(800, 3000),
    leakPaPerS: random.between(2, 30),
  };
}

/** A reservoir that empties through a choked valve whose opened area grows as time to the power `shape` − 1. */
export interface ValveCourse {
  readonly openedAtS: number;
  readonly shape: number;
  readonly beforePa: number;
  /** Until the valve stands fully open, s. */
  readonly openingS: number;
  /** Of pressure a second, relative, with the valve fully open. */
  readonly fullRatePerS: number;
  readonly gamma: number;
}

/** By the closed form of the isentropic, choked reservoir; integrated area stated in its own words, not the watch's. */
export function valvePa({ openedAtS, shape, beforePa, openingS, fullRatePerS, gamma }: ValveCourse, s: number): number {
  const t = s - openedAtS;
  if (t <= 0) return beforePa;
  // ∫A/A_full: (openingS/shape)·(t/openingS)^shape while it opens, then a straight line.
  const area = t < openingS ? (openingS / shape) * (t / openingS) ** shape : openingS / shape + (t - openingS);
  // dp/dt = −k·(A/A_full)·p^(1 + (γ−1)/(2γ)), scaled so that k is the relative rate at the beginning.
  const e = (gamma - 1) / (2 * gamma);
  return beforePa * (1 + e * fullRatePerS * area) ** (-1 / e);
}

export function drawValve(random: Random): ValveCourse {
  return {
    openedAtS: random.between(0.001, 0.004),
    shape: Math.min(3.5, Math.max(1, 2 + 0.7 * random.normal())),
    beforePa: random.between(0.6e6, 3.7e6),
    openingS: random.between(0.004, 0.008),
    fullRatePerS: random.between(10, 18),
    gamma: 1.4,
  };
}

/** Courses a property is held against: few in the suite, `WATCH_COURSES=1000` for the long look. */
export const COURSES = Number(process.env.WATCH_COURSES ?? 40);

/**
 * Says what is wrong with 95 % intervals that a number of courses was held against; empty where they hold 93 to 97 %, by
 * as much more or less as so few courses may show by chance (2.6 standard deviations of a binomial count).
 */
export function coverageProblem(name: string, scores: readonly number[]): string {
  const share = covered(scores);
  const chance = 2.6 * Math.sqrt((0.95 * 0.05) / scores.length);
  const isSound = share >= 0.93 - chance && share <= 0.97 + chance && scores.length >= COURSES / 2;
  return isSound
    ? ''
    : `${name}: ${(100 * share).toFixed(1)} % of ${scores.length} intervals hold the truth; root mean square ${rms(scores).toFixed(2)}`;
}
