/**
 * The reservoir's gas through one cycle: filled from bottles that have the air's temperature, shut off, fired, vented.
 *
 * One volume of a perfect gas, well mixed. Gas that flows in brings its enthalpy and is warmed by being compressed; the
 * wall, at the air's temperature, takes that away at a rate that grows with the gas's density (natural convection,
 * Nu ~ Gr^⅓, so h ~ ρ^⅔). With the valve shut the mass only leaks, and the pressure falls back along one exponential to
 * where the mass puts it. A thermistor in the gas follows it late.
 * Non-goals: a real gas's compressibility, the wall's own warming, layers.
 */
import { HERON } from './heron.ts';
import type { Launch } from './launcher.ts';
import { lookUp } from './look-up.ts';
import type { Cycle } from './procedure.ts';

export interface GasState {
  /** Absolute. */
  readonly pa: number;
  readonly gasK: number;
  /** At the thermistor. */
  readonly thermistorK: number;
}

export interface GasCourse {
  at(timeS: number): GasState;
}

/** Share of the gas that leaks out each second, at the real pace: 30 Pa/s, or 1.3 kPa/s, at 1.3 MPa. */
export const RESERVOIR_LEAK_PER_S = { sound: 2.3e-5, leaky: 1e-3 } as const;

const GAMMA = 1.4;
const R_N2 = 296.803;
const VOLUME_M3 = HERON.reservoirVolumeM3;
/** Of gas at the target, its wall taking the heat; at another mass as its cube root. */
const WALL_S = 12;
const WALL_AT_KG = ((HERON.fillTargetPaGauge + 98e3) * VOLUME_M3) / (R_N2 * 288);
const THERMISTOR_S = 12;
/** The booster slows as the pressure difference falls; its strokes show as a ripple. */
const SLOWING = 1.2;
const STROKES = 40;
const STROKE_SHARE = 0.0012;

const massOf = (pa: number, gasK: number): number => (pa * VOLUME_M3) / (R_N2 * gasK);
const paOf = (massKg: number, gasK: number): number => (massKg * R_N2 * gasK) / VOLUME_M3;

export interface FillInput {
  readonly cycle: Cycle;
  readonly start: GasState;
  readonly ambientPa: number;
  readonly wallK: number;
  readonly leakPerS: number;
}

/** From the fill's beginning to the firing. */
export function fillCourse({ cycle, start, ambientPa, wallK, leakPerS }: FillInput): GasCourse {
  const { fillFromS, firedAtS, paceFactor, lengths } = cycle;
  const startKg = massOf(start.pa, start.gasK);
  const endKg = massOf(cycle.fillPaGauge + ambientPa, wallK);
  const massKg = (t: number): number => {
    const u = Math.min(Math.max(t / lengths.fill, 0), 1);
    const leak = Math.exp(-leakPerS * paceFactor * Math.max(t - lengths.fill, 0));
    return (startKg + (endKg - startKg) * filledShare(u)) * leak;
  };
  const slopeK = (t: number, gasK: number): number => {
    const kg = massKg(t);
    // Strokes bend the mass within a hundredth of the fill; a difference over less than that is its rate.
    const h = lengths.fill * 1e-5;
    const inflowKgS = t < lengths.fill ? Math.max((massKg(t + h) - massKg(t - h)) / (2 * h), 0) : 0;
    return (inflowKgS * (GAMMA * wallK - gasK)) / kg + (wallK - gasK) / wallTimeS(kg, paceFactor);
  };
  const times = [...steps(0, lengths.fill, 1000), ...steps(lengths.fill, firedAtS - fillFromS, 600), firedAtS - fillFromS];
  const course = integrate(times, start, paceFactor, slopeK);
  return {
    at: (timeS) => {
      const t = timeS - fillFromS;
      const gasK = lookUp(times, course.gasK, t);
      return { pa: paOf(massKg(t), gasK), gasK, thermistorK: lookUp(times, course.thermistorK, t) };
    },
  };
}

export interface VentInput {
  readonly cycle: Cycle;
  readonly start: GasState;
  readonly launch: Launch;
  readonly wallK: number;
}

/** From the firing on: the gas expands, is cold, and warms again while the valve stands open. */
export function ventCourse({ cycle: { firedAtS, paceFactor }, start, launch, wallK }: VentInput): GasCourse {
  const times = [...steps(0, 0.3, 300), ...steps(0.3, 1.5, 240), ...steps(1.5, 1.5 + (12 * THERMISTOR_S) / paceFactor, 400)];
  const slopeK = (t: number, gasK: number): number => {
    const pa = launch.reservoirPa(t);
    const paPerS = (launch.reservoirPa(t + 1e-4) - launch.reservoirPa(t - 1e-4)) / 2e-4;
    return (((GAMMA - 1) / GAMMA) * gasK * paPerS) / pa + (wallK - gasK) / (GAMMA * wallTimeS(massOf(pa, gasK), paceFactor));
  };
  const course = integrate(times, start, paceFactor, slopeK);
  return {
    at: (timeS) => {
      const t = timeS - firedAtS;
      return { pa: launch.reservoirPa(t), gasK: lookUp(times, course.gasK, t), thermistorK: lookUp(times, course.thermistorK, t) };
    },
  };
}

/** Of the gas to be let in: how much is in. @param u  0 to 1, of the fill's time */
function filledShare(u: number): number {
  const share = (1 - Math.exp(-SLOWING * u)) / (1 - Math.exp(-SLOWING));
  return share + STROKE_SHARE * Math.sin(2 * Math.PI * STROKES * u) * 4 * share * (1 - share);
}

/** Mass times specific heat at constant volume over the wall's heat transfer. */
const wallTimeS = (massKg: number, paceFactor: number): number => (WALL_S * Math.cbrt(massKg / WALL_AT_KG)) / paceFactor;

const steps = (from: number, to: number, count: number): readonly number[] =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * i) / count);

/** Fourth-order Runge–Kutta for the gas; the thermistor follows the gas's mean of each step exactly. */
function integrate(times: readonly number[], start: GasState, paceFactor: number, slopeK: (t: number, gasK: number) => number) {
  const gas = new Float64Array(times.length);
  const thermistor = new Float64Array(times.length);
  [gas[0], thermistor[0]] = [start.gasK, start.thermistorK];
  for (let i = 1; i < times.length; i++) {
    const [t, k] = [times[i - 1] as number, gas[i - 1] as number];
    const h = (times[i] as number) - t;
    const k1 = slopeK(t, k);
    const k2 = slopeK(t + h / 2, k + (h / 2) * k1);
    const k3 = slopeK(t + h / 2, k + (h / 2) * k2);
    const k4 = slopeK(t + h, k + h * k3);
    const next = k + (h / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
    gas[i] = next;
    thermistor[i] = (k + next) / 2 + ((thermistor[i - 1] as number) - (k + next) / 2) * Math.exp((-h * paceFactor) / THERMISTOR_S);
  }
  return { gasK: gas, thermistorK: thermistor };
}
