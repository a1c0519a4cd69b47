/**
 * What velocity a fill gives, by the dynamics of the gas: few numbers that the shots decide, and every limit of theory kept.
 *
 * A reservoir that expands without heat from its wall; an effective valve between it and the barrel, that opens linearly
 * and chokes; one volume of gas behind the projectile, whose own mass is moved too (a linear profile of its velocity:
 * a third of the mass goes with the projectile, a sixth of it counts in the energy; Lagrange's approximation, from memory);
 * friction as a pressure that holds the projectile back; and the residual air ahead, driven as a piston drives a shock.
 * The energy of the gas behind is not integrated: it is what the reservoir gave less the work that was done, so that no
 * step can make velocity out of nothing.
 * Non-goals: waves in the barrel, heat to the walls, the film, leakage past the projectile. The map's remainder takes
 * what these leave, where the shots show it.
 */
import type { FiringConditions, LauncherSetup } from './launcher-setup.ts';
import { flowOverChoked, nozzleGas } from './nozzle-flow.ts';

/** All > 0. */
export interface LaunchParameters {
  /** Valve's area times its discharge coefficient, over the bore's area. */
  readonly valveOverBore: number;
  /** From shut to open, s. */
  readonly openingS: number;
  /** Space behind the projectile before it moves, in bores of barrel. */
  readonly deadSpaceBores: number;
  /** Friction over the bore's area, Pa. */
  readonly frictionPa: number;
  /** Pressure that the driven air adds, over that of the ideal shock. */
  readonly airAhead: number;
}

/** Of the ratio of the air's specific heats, dry, and its gas constant in J/(kg K): handbook values, from memory. */
const AIR = { gamma: 1.4, gasConstant: 287.05 };
/** A projectile that needs longer does not leave the barrel by this gas. */
const TIME_S_MAX = 1;
/** A step may be so long against the time in which the barrel's pressure answers the valve; beyond it the steps run away. */
const STEP_OF_ANSWER = 0.9;
/** Steps that the valve's opening takes at least: each must see the flow at its end coming. */
const OPENING_STEPS = 8;
/** Steps that the barrel's length takes at least. */
const STEPS_MIN = 24;

/**
 * Velocity at the muzzle, m/s; 0 where the gas does not drive the projectile out.
 * Integrated in time by the classical fourth-order Runge–Kutta formula; the steps follow from the conditions smoothly.
 */
export function modelVelocityMps(setup: LauncherSetup, parameters: LaunchParameters, firing: FiringConditions): number {
  const { boreM, barrelLengthM, reservoirVolumeM3 } = setup;
  const { gamma, gasConstant } = setup.gas;
  const { reservoirPressurePa, gasTemperatureK, barrelPressurePa, massKg } = firing;
  const { openingS, frictionPa } = parameters;
  if (!(reservoirPressurePa > barrelPressurePa + frictionPa)) return 0;

  const nozzle = nozzleGas(gamma);
  const areaM2 = (Math.PI * boreM ** 2) / 4;
  const valveM2 = parameters.valveOverBore * areaM2;
  const deadM3 = parameters.deadSpaceBores * boreM * areaM2;
  const reservoirKg = (reservoirPressurePa * reservoirVolumeM3) / (gasConstant * gasTemperatureK);
  const reservoirJ = (reservoirPressurePa * reservoirVolumeM3) / (gamma - 1);
  const deadJ = (barrelPressurePa * deadM3) / (gamma - 1);
  const choked0 = (nozzle.chokedFunction * reservoirPressurePa) / Math.sqrt(gasConstant * gasTemperatureK);
  const airSoundMps = Math.sqrt(AIR.gamma * AIR.gasConstant * firing.airTemperatureK);
  const quarter = (AIR.gamma + 1) / 4;

  /** Pressure on the projectile's face. Piston-driven shock, Rankine–Hugoniot (NACA Report 1135, normal shock). */
  const aheadPa = (v: number): number => {
    const mach = Math.max(v, 0) / airSoundMps;
    const half = quarter * mach;
    return barrelPressurePa * (1 + parameters.airAhead * AIR.gamma * mach * (half + Math.sqrt(1 + half * half)));
  };

  // Written anew by each call of `slopes`: place, velocity, mass of gas admitted, work done on air and friction.
  let dx = 0;
  let dv = 0;
  let dm = 0;
  let dw = 0;
  const slopes = (t: number, x: number, v: number, m: number, w: number): void => {
    const left = Math.max(1 - m / reservoirKg, 0);
    const leftToGamma = left ** gamma;
    const meanPa = meanPressurePa(x, v, m, w, leftToGamma);
    const open = Math.min(Math.max(t / openingS, 0), 1);
    const reservoirNowPa = reservoirPressurePa * leftToGamma;
    // Choked: p/√T falls with (1 − m/M)^((γ+1)/2).
    dm = valveM2 * open * choked0 * left ** ((gamma + 1) / 2) * flowOverChoked(meanPa / Math.max(reservoirNowPa, 1e-300), nozzle);
    const against = aheadPa(v) + frictionPa;
    const push = (meanPa - against) * areaM2;
    dv = (v > 0 ? push : Math.max(push, 0)) / (massKg + m / 3);
    dx = v;
    dw = against * areaM2 * v;
  };

  /** What the reservoir gave, less the work on projectile, air and friction, less the gas's own motion. */
  const meanPressurePa = (x: number, v: number, m: number, w: number, leftToGamma: number): number => {
    const gasJ = deadJ + reservoirJ * (1 - leftToGamma) - 0.5 * massKg * v * v - w - (m * v * v) / 6;
    return (Math.max(gasJ, 0) * (gamma - 1)) / (deadM3 + areaM2 * x);
  };

  /** How fast the barrel's pressure answers the valve, 1/s: what flows in at the sound's speed over the volume there is. */
  const answerPerS = (t: number, x: number): number => {
    const opened = Math.min(t / openingS + 1 / OPENING_STEPS, 1);
    return (valveM2 * opened * FLOW_SLOPE * Math.sqrt(gamma * gasConstant * gasTemperatureK)) / (deadM3 + areaM2 * x);
  };
  /** Time that the fastest launch takes, s. */
  const shortestS = barrelLengthM / Math.sqrt((2 * reservoirPressurePa * areaM2 * barrelLengthM) / massKg);

  let t = 0;
  let x = 0;
  let v = 0;
  let m = 0;
  let w = 0;
  const advance = (h: number): void => {
    slopes(t, x, v, m, w);
    const [x1, v1, m1, w1] = [dx, dv, dm, dw];
    slopes(t + h / 2, x + (h / 2) * x1, v + (h / 2) * v1, m + (h / 2) * m1, w + (h / 2) * w1);
    const [x2, v2, m2, w2] = [dx, dv, dm, dw];
    slopes(t + h / 2, x + (h / 2) * x2, v + (h / 2) * v2, m + (h / 2) * m2, w + (h / 2) * w2);
    const [x3, v3, m3, w3] = [dx, dv, dm, dw];
    slopes(t + h, x + h * x3, v + h * v3, m + h * m3, w + h * w3);
    x += (h / 6) * (x1 + 2 * x2 + 2 * x3 + dx);
    v += (h / 6) * (v1 + 2 * v2 + 2 * v3 + dv);
    m += (h / 6) * (m1 + 2 * m2 + 2 * m3 + dm);
    w += (h / 6) * (w1 + 2 * w2 + 2 * w3 + dw);
    t += h;
  };

  while (t < TIME_S_MAX) {
    const whileOpening = t < openingS ? openingS / OPENING_STEPS : Number.POSITIVE_INFINITY;
    const h = Math.min(STEP_OF_ANSWER / answerPerS(t, x), (4 * shortestS) / STEPS_MIN, whileOpening);
    // The last step, along v and its slope, ends at the muzzle.
    slopes(t, x, v, m, w);
    const rest = barrelLengthM - x;
    if (v * h + 0.5 * dv * h * h >= rest) {
      for (let round = 0; round < 3; round++) {
        slopes(t, x, v, m, w);
        const last = (2 * (barrelLengthM - x)) / (v + Math.sqrt(Math.max(v * v + 2 * dv * (barrelLengthM - x), 0)));
        if (!Number.isFinite(last)) return 0;
        advance(last);
      }
      return Math.max(v, 0);
    }
    advance(h);
    if (v < 0) return 0;
  }
  return 0;
}

/** Slope of the flow by the pressure ratio where it is steepest of those that last, in units of its choked value. */
const FLOW_SLOPE = 8;
