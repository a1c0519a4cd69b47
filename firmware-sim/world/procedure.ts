/**
 * The crew's routine: load, fill and pump down, settle, hold, fire, vent; and again. Each cycle is drawn from the seed
 * and its number alone; its phases are plain functions of time, so nothing depends on how time is cut into steps.
 */
import { HERON } from './heron.ts';
import { randomStream } from './random.ts';

export const PACES = ['real', 'fast'] as const;
export type Pace = (typeof PACES)[number];

export type Phase = 'load' | 'fill' | 'settle' | 'hold' | 'vent';

/** Seconds. The valve signal comes at the end of the hold. */
export type PhaseLengths = Readonly<Record<Phase, number>>;

export interface Cycle {
  readonly number: number;
  readonly startS: number;
  readonly lengths: PhaseLengths;
  readonly firedAtS: number;
  readonly endS: number;
  /** What the crew aims at, Pa gauge, when the gas has settled. */
  readonly fillPaGauge: number;
  /** Absolute; undefined: the barrel stays open to the air. */
  readonly vacuumPa: number | undefined;
}

/** Gas let in quickly is warmer than its vessel; the pressure falls back by so much as it cools. */
const FILL_OVERSHOOT = 0.035;
/** Rise of an evacuated barrel with its pump shut off, Pa/s. */
const LEAK_PA_PER_S = 15;

const MEAN_LENGTHS: Readonly<Record<Pace, PhaseLengths>> = {
  real: { load: 5, fill: 9, settle: 5, hold: 4, vent: 4.5 },
  fast: { load: 0.3, fill: 1.2, settle: 0.7, hold: 0.3, vent: 0.5 },
};
/** Before it the host fits the board's clock, and hears from the weather sensor a first time. */
const FIRST_SHOT_S_MIN = 3.6;

export interface CycleInput {
  readonly seed: number;
  readonly pace: Pace;
  readonly number: number;
  readonly startS: number;
}

export function planCycle({ seed, pace, number, startS }: CycleInput): Cycle {
  const random = randomStream(seed, `cycle/${number}`);
  const mean = MEAN_LENGTHS[pace];
  const stretch = (lengthS: number): number => lengthS * random.between(0.94, 1.06);
  const drawn = {
    load: stretch(mean.load),
    fill: stretch(mean.fill),
    settle: stretch(mean.settle),
    hold: stretch(mean.hold),
    vent: stretch(mean.vent),
  };
  const beforeS = drawn.load + drawn.fill + drawn.settle + drawn.hold;
  const missingS = number === 1 ? Math.max(FIRST_SHOT_S_MIN - beforeS - startS, 0) : 0;
  const lengths = { ...drawn, load: drawn.load + missingS };
  const firedAtS = startS + missingS + beforeS;
  // Evenly over the logarithm: as many gentle shots as hard ones.
  const fillPaGauge = 0.5e6 * (3.7 / 0.5) ** random.uniform();
  const vacuumPa = random.uniform() < 0.15 ? undefined : 1e3 * 30 ** random.uniform();
  return { number, startS, lengths, firedAtS, endS: firedAtS + lengths.vent, fillPaGauge, vacuumPa };
}

export interface CycleStart {
  /** Gauge pressure left in the reservoir as the fill begins. */
  readonly residualPaGauge: number;
  readonly ambientPa: number;
}

/** Gauge pressure of the reservoir from the fill to the firing. @param timeS  range time, from the end of the load */
export function reservoirPaGauge(cycle: Cycle, start: CycleStart, timeS: number): number {
  const fillFromS = cycle.startS + cycle.lengths.load;
  const { fill } = cycle.lengths;
  const hotPaGauge = Math.min(cycle.fillPaGauge * (1 + FILL_OVERSHOOT), HERON.reservoirRatedPaGauge);
  const t = timeS - fillFromS;
  if (t <= 0) return start.residualPaGauge;
  // The booster slows as the pressure difference falls; its strokes show as a ripple.
  const shape = (1 - Math.exp((-2.5 * Math.min(t, fill)) / fill)) / (1 - Math.exp(-2.5));
  if (t < fill) {
    const strokes = 0.003 * cycle.fillPaGauge * Math.sin((2 * Math.PI * 40 * t) / fill) * shape * (1 - shape) * 4;
    return start.residualPaGauge + (hotPaGauge - start.residualPaGauge) * shape + strokes;
  }
  const cooled = Math.exp(-(t - fill) / (0.3 * cycle.lengths.settle));
  return cycle.fillPaGauge + (hotPaGauge - cycle.fillPaGauge) * cooled;
}

/** Absolute pressure in the barrel until the firing. */
export function barrelPa(cycle: Cycle, start: CycleStart, timeS: number): number {
  if (cycle.vacuumPa === undefined) return start.ambientPa;
  const { fill, settle } = cycle.lengths;
  const t = timeS - cycle.startS - cycle.lengths.load;
  if (t <= 0) return start.ambientPa;
  const pumpS = fill + settle;
  const ultimatePa = 0.9 * cycle.vacuumPa;
  // The time constant that brings the barrel to its set point as the pump is shut off.
  const tauS = pumpS / Math.log((start.ambientPa - ultimatePa) / (cycle.vacuumPa - ultimatePa));
  if (t < pumpS) return ultimatePa + (start.ambientPa - ultimatePa) * Math.exp(-t / tauS);
  return cycle.vacuumPa + LEAK_PA_PER_S * (t - pumpS);
}

/** Reservoir gas against the air around it: still a little warm, in step with the pressure above its settled value. */
export function reservoirTemperatureK(cycle: Cycle, start: CycleStart, ambientK: number, timeS: number): number {
  return ambientK * (reservoirPaGauge(cycle, start, timeS) / cycle.fillPaGauge);
}
