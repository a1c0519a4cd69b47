/**
 * The shot inside the launcher, from the valve signal to the empty reservoir.
 *
 * Lumped gas dynamics: an adiabatic reservoir, a valve that opens over some milliseconds and chokes, and the gas behind
 * the ball as one volume with Lagrange's linear velocity profile (so that the gas's own mass has to be moved too).
 * Ahead of the ball lies residual air, which the ball drives as a piston drives a shock.
 * Non-goals: waves inside the barrel, leakage past the ball, heat to the walls, push after the muzzle.
 */
import { lookUp } from './look-up.ts';

export interface LauncherGeometry {
  readonly reservoirVolumeM3: number;
  readonly boreM: number;
  readonly barrelLengthM: number;
  readonly ballMassKg: number;
}

export interface LaunchInput extends LauncherGeometry {
  /** Absolute, just before firing. */
  readonly reservoirPressurePa: number;
  readonly reservoirTemperatureK: number;
  /** Absolute, of the residual air in the barrel. */
  readonly barrelPressurePa: number;
  readonly ambientPressurePa: number;
  readonly ambientTemperatureK: number;
  /** Factor on the valve's flow: small differences from shot to shot. */
  readonly valveFactor: number;
}

export interface Launch {
  readonly muzzleVelocityMps: number;
  /** Valve signal to the ball's centre at the muzzle. */
  readonly exitTimeS: number;
  /** Absolute pressures t seconds after the valve signal; before it: as it stood. */
  reservoirPa(timeS: number): number;
  /** At the barrel's tap, 0.4 m from the breech. */
  barrelTapPa(timeS: number): number;
}

const GAMMA = 1.4;
/** Nitrogen, J/(kg K). */
const R_N2 = 296.803;
const CV = R_N2 / (GAMMA - 1);
const CP = GAMMA * CV;
/** Speed of sound in dry air, ideal gas. */
const airSoundMps = (temperatureK: number): number => Math.sqrt(1.4 * 287.05287 * temperatureK);

const VALVE = { areaM2: 27.5e-4, dischargeCoefficient: 0.82, delayS: 0.002, openingS: 0.005 } as const;
/** Space behind the ball before it moves. */
const BREECH_VOLUME_M3 = 0.8e-3;
const FRICTION_N = 40;
/** To break the film at the muzzle. */
const FILM_ENERGY_J = 4;
const TAP_M = 0.4;
const MUZZLE_DISCHARGE = 0.85;

const STEP_BARREL_S = 20e-6;
const STEP_AFTER_S = 250e-6;
export const LAUNCH_HISTORY_S = 1.5;

/** Reservoir mass and energy, barrel gas mass and energy (with its motion), ball position and speed. */
type State = readonly [mr: number, ur: number, mb: number, eb: number, x: number, v: number];

/**
 * Choked or unchoked nozzle flow of a perfect gas, kg/s; 0 where the downstream pressure is not lower.
 * Source: NACA Report 1135 (1953), isentropic nozzle.
 */
export function nozzleFlow(areaM2: number, upstreamPa: number, upstreamK: number, downstreamPa: number): number {
  const ratio = Math.max(downstreamPa / upstreamPa, (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1)));
  if (ratio >= 1) return 0;
  const factor = Math.sqrt(((2 * GAMMA) / (GAMMA - 1)) * (ratio ** (2 / GAMMA) - ratio ** ((GAMMA + 1) / GAMMA)));
  return (areaM2 * upstreamPa * factor) / Math.sqrt(R_N2 * upstreamK);
}

/** Pressure at the face of a piston that drives a shock into gas at rest, over the pressure of that gas (γ = 1.4). */
export function pistonShockRatio(pistonMach: number): number {
  const quarter = ((GAMMA + 1) / 4) * pistonMach;
  return 1 + GAMMA * pistonMach * (quarter + Math.sqrt(1 + quarter ** 2));
}

export function launch(input: LaunchInput): Launch {
  const boreAreaM2 = (Math.PI * input.boreM ** 2) / 4;
  const soundMps = airSoundMps(input.ambientTemperatureK);
  const valveAreaM2 = (timeS: number): number => {
    const s = Math.min(Math.max((timeS - VALVE.delayS) / VALVE.openingS, 0), 1);
    return VALVE.areaM2 * VALVE.dischargeCoefficient * input.valveFactor * s * s * (3 - 2 * s);
  };
  const gas = ([mr, ur, mb, eb, x, v]: State) => {
    const volume = BREECH_VOLUME_M3 + boreAreaM2 * x;
    const internal = eb - (mb * v * v) / 6;
    return {
      reservoirPa: ((GAMMA - 1) * ur) / input.reservoirVolumeM3,
      reservoirK: ur / (mr * CV),
      meanPa: ((GAMMA - 1) * internal) / volume,
      temperatureK: internal / (mb * CV),
      aheadPa: input.barrelPressurePa * pistonShockRatio(Math.max(v, 0) / soundMps),
    };
  };

  const inBarrel = (timeS: number, state: State): State => {
    const [, , mb, , , v] = state;
    const g = gas(state);
    const flow = nozzleFlow(valveAreaM2(timeS), g.reservoirPa, g.reservoirK, g.meanPa);
    const push = (g.meanPa - g.aheadPa) * boreAreaM2;
    // At rest friction only resists; it never moves the ball.
    const free = v > 0 ? push - FRICTION_N : Math.max(push - FRICTION_N, 0);
    const acceleration = free / (input.ballMassKg + mb / 3);
    const basePa = g.meanPa - (mb * acceleration) / (3 * boreAreaM2);
    return [-flow, -flow * CP * g.reservoirK, flow, flow * CP * g.reservoirK - basePa * boreAreaM2 * v, v, acceleration];
  };

  const afterExit = (timeS: number, state: State): State => {
    const g = gas(state);
    const flow = nozzleFlow(valveAreaM2(timeS), g.reservoirPa, g.reservoirK, g.meanPa);
    const out = nozzleFlow(boreAreaM2 * MUZZLE_DISCHARGE, g.meanPa, g.temperatureK, input.ambientPressurePa);
    return [-flow, -flow * CP * g.reservoirK, flow - out, flow * CP * g.reservoirK - out * CP * g.temperatureK, 0, 0];
  };

  const times: number[] = [];
  const reservoir: number[] = [];
  const tap: number[] = [];
  const keep = (timeS: number, state: State, tapPa: number): void => {
    times.push(timeS);
    reservoir.push(gas(state).reservoirPa);
    tap.push(tapPa);
  };

  const reservoirMass = (input.reservoirPressurePa * input.reservoirVolumeM3) / (R_N2 * input.reservoirTemperatureK);
  const breechMass = (input.barrelPressurePa * BREECH_VOLUME_M3) / (R_N2 * input.ambientTemperatureK);
  let state: State = [
    reservoirMass,
    reservoirMass * CV * input.reservoirTemperatureK,
    breechMass,
    breechMass * CV * input.ambientTemperatureK,
    0,
    0,
  ];
  let timeS = 0;
  let previous = state;
  let shockM = 0;
  while (state[4] < input.barrelLengthM) {
    if (timeS > 0.5) throw new RangeError(`the ball did not leave the barrel: ${state[4]} m after ${timeS} s`);
    const g = gas(state);
    keep(timeS, state, state[4] > TAP_M ? g.meanPa : shockM > TAP_M ? g.aheadPa : input.barrelPressurePa);
    // A weak shock runs ahead of the ball at the speed of sound, a strong one at (γ+1)/2 of the ball's speed and more.
    if (state[5] > 0) shockM += Math.max(soundMps, ((GAMMA + 1) / 2) * state[5]) * STEP_BARREL_S;
    previous = state;
    state = rungeKutta(inBarrel, timeS, state, STEP_BARREL_S);
    timeS += STEP_BARREL_S;
  }
  // The last step went past the muzzle: back to it along a straight line.
  const over = (state[4] - input.barrelLengthM) / (state[4] - previous[4]);
  const exitTimeS = timeS - over * STEP_BARREL_S;
  const exitSpeed = state[5] - over * (state[5] - previous[5]);
  const muzzleVelocityMps = Math.sqrt(Math.max(exitSpeed ** 2 - (2 * FILM_ENERGY_J) / input.ballMassKg, 0));

  // The gas behind the ball is now free: its motion becomes heat in the one-volume picture.
  state = [state[0], state[1], state[2], state[3], input.barrelLengthM, 0];
  while (timeS <= LAUNCH_HISTORY_S) {
    keep(timeS, state, gas(state).meanPa);
    state = rungeKutta(afterExit, timeS, state, STEP_AFTER_S);
    timeS += STEP_AFTER_S;
  }

  return {
    muzzleVelocityMps,
    exitTimeS,
    reservoirPa: (t) => lookUp(times, reservoir, t),
    barrelTapPa: (t) => lookUp(times, tap, t),
  };
}

function rungeKutta(derivative: (timeS: number, state: State) => State, timeS: number, state: State, stepS: number): State {
  const plus = (d: State, h: number): State => [
    state[0] + h * d[0],
    state[1] + h * d[1],
    state[2] + h * d[2],
    state[3] + h * d[3],
    state[4] + h * d[4],
    state[5] + h * d[5],
  ];
  const k1 = derivative(timeS, state);
  const k2 = derivative(timeS + stepS / 2, plus(k1, stepS / 2));
  const k3 = derivative(timeS + stepS / 2, plus(k2, stepS / 2));
  const k4 = derivative(timeS + stepS, plus(k3, stepS));
  const mean = (i: 0 | 1 | 2 | 3 | 4 | 5): number => (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i]) / 6;
  return plus([mean(0), mean(1), mean(2), mean(3), mean(4), mean(5)], stepS);
}
