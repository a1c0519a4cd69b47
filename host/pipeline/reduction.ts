/**
 * From passages to velocity. All gates at once: start time, muzzle velocity and drag fitted by weighted least squares,
 * the drag curve of a smooth sphere as prior knowledge, wide enough to be overruled by the gates. Every input's
 * uncertainty is carried to every result, and inputs shared by several results stay correlated.
 */
import {
  chiSquaredLimit,
  combine,
  derive,
  type Estimate,
  type Fit,
  fitLeastSquares,
  type Influence,
  input,
  standardUncertainty,
} from '../metrology/index.ts';
import type { Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';
import { type FlightInputs, FlightModel } from './flight-model.ts';
import { boardOffsets, clockRate, type TimeBase, type TimedPassage, timingInputs } from './gate-timing.ts';

export interface Reduction {
  readonly muzzleVelocityMps: Estimate;
  readonly targetVelocityMps: Estimate;
  readonly velocityLostMps: Estimate;
  readonly muzzleEnergyJ: Estimate;
  readonly targetEnergyJ: Estimate;
  readonly muzzleMomentumNs: Estimate;
  readonly targetMomentumNs: Estimate;
  readonly mach: Estimate;
  readonly drag: {
    readonly coefficient: Estimate;
    readonly mach: number;
    readonly reynolds: number;
    /** The gates have halved what was known of the drag beforehand, or better. */
    readonly resolved: boolean;
  };
}

/** The fit alone, without what follows from it. */
export interface GateFit {
  readonly fit: Fit;
  readonly model: FlightModel;
  /** Over the ground at each passage, m/s. */
  readonly velocitiesMps: readonly number[];
  /** Chi-squared is what the claimed uncertainties would lead one to expect, at the 0.1 % level. */
  readonly fits: boolean;
}

export interface PairReduction {
  readonly name: string;
  readonly gates: readonly [string, string];
  readonly positionM: number;
  readonly velocityMps: Estimate;
  readonly dragCorrectionMps: number;
}

const RESOLVED_SHARE = 0.5;
const EXPECTED_PROBABILITY = 0.999;

/** @returns undefined with fewer than two passages, or where the fit does not settle */
export function fitGates(passages: readonly TimedPassage[], rig: Rig, air: AirEstimates, time: TimeBase): GateFit | undefined {
  const first = passages[0];
  const last = passages.at(-1);
  if (!first || !last || first === last) return undefined;
  const positions = passages.map((p) => p.gate.positionM.value);
  const meanMps = (last.gate.positionM.value - first.gate.positionM.value) / (last.timeS - first.timeS);
  if (!(meanMps > 0 && Number.isFinite(meanMps))) return undefined;
  const model = new FlightModel(rig, air, meanMps);
  const fly = (p: readonly number[], flown: FlightInputs) => model.flight(p[1] as number, p[2] as number, p[3] as number, flown, positions);
  const times = (p: readonly number[], flown: FlightInputs) => fly(p, flown).map((passage) => (p[0] as number) + passage.timeS);
  const timing = passages.map((passage) => timingInputs(passage, meanMps, time));
  const fit = fitLeastSquares({
    predict: (p) => times(p, model.known),
    observed: passages.map((p) => p.timeS),
    weightUncertainty: timing.map((t) => t.standardUncertaintyS),
    parameters: model.parameters(first.timeS - first.gate.positionM.value / meanMps, meanMps),
    influences: (p) => [
      ...timing.flatMap((t, i) => t.inputs.map((part) => ({ of: part.of, effect: oneHot(passages.length, i, part.effect) }))),
      ...boardOffsets(passages, time),
      ...clockRate(passages, time),
      ...flightInfluences(model, (flown) => times(p, flown)),
    ],
  });
  if (!fit) return undefined;
  return { fit, model, velocitiesMps: fly(fit.values, model.known).map((passage) => passage.velocityMps), fits: isExpected(fit) };
}

/** Everything that is said of the flight. */
export function reduceFit({ fit, model }: GateFit, rig: Rig): Reduction {
  const [, muzzle, scale, slope] = fit.parameters as [Estimate, Estimate, Estimate, Estimate];
  const { densityKgM3, massKg, diameterM, speedOfSoundMps, tailwindMps } = model.estimates;
  const targetVelocity = derive(
    (v, a, b, rho, m, d, c, w, x) =>
      model.flight(v, a, b, { densityKgM3: rho, massKg: m, diameterM: d, speedOfSoundMps: c, tailwindMps: w }, [x])[0]?.velocityMps ?? 0,
    muzzle,
    scale,
    slope,
    densityKgM3,
    massKg,
    diameterM,
    speedOfSoundMps,
    tailwindMps,
    input('target position', 'm', rig.targetPositionM),
  );
  const energy = (velocity: Estimate) => derive((m, v) => (m * v * v) / 2, massKg, velocity);
  const momentum = (velocity: Estimate) => derive((m, v) => m * v, massKg, velocity);
  const reference = model.dragCoefficientReference;
  return {
    muzzleVelocityMps: muzzle,
    targetVelocityMps: targetVelocity,
    velocityLostMps: derive((v, t) => v - t, muzzle, targetVelocity),
    muzzleEnergyJ: energy(muzzle),
    targetEnergyJ: energy(targetVelocity),
    muzzleMomentumNs: momentum(muzzle),
    targetMomentumNs: momentum(targetVelocity),
    mach: derive((v, w, c) => (v - w) / c, muzzle, tailwindMps, speedOfSoundMps),
    drag: {
      coefficient: derive((a) => (1 + a) * reference, scale),
      mach: model.prior.machReference,
      reynolds: model.reynoldsReference,
      resolved: standardUncertainty(scale) <= RESOLVED_SHARE * model.prior.scaleStandardUncertainty,
    },
  };
}

/**
 * Speed in the middle of a pair. Spacing over time is the mean over the pair, which under exponential decay is
 * (kL/2)/sinh(kL/2) of the speed in its middle (L the spacing, k the loss per metre): 6 parts in a million at 1 m here.
 */
export function reducePair(
  name: string,
  [from, to]: readonly [TimedPassage, TimedPassage],
  time: TimeBase,
  decayPerM: number,
): PairReduction {
  const spacingM = to.gate.positionM.value - from.gate.positionM.value;
  const flightS = to.timeS - from.timeS;
  const mean = spacingM / flightS;
  const half = (decayPerM * spacingM) / 2;
  const correction = half === 0 ? 0 : mean * (Math.sinh(half) / half - 1);
  const ends = [
    { passage: from, sign: 1 },
    { passage: to, sign: -1 },
  ];
  const parts = ends.flatMap(({ passage, sign }) =>
    timingInputs(passage, mean, time).inputs.map((part) => ({ of: part.of, partial: (sign * part.effect * mean) / flightS })),
  );
  const shared = [...boardOffsets([from, to], time), ...clockRate([from, to], time)].map((influence) => ({
    of: influence.of,
    partial: (((influence.effect[0] as number) - (influence.effect[1] as number)) * mean) / flightS,
  }));
  return {
    name,
    gates: [from.gate.name, to.gate.name],
    positionM: (from.gate.positionM.value + to.gate.positionM.value) / 2,
    velocityMps: combine(mean + correction, [...parts, ...shared]),
    dragCorrectionMps: correction,
  };
}

function flightInfluences(model: FlightModel, times: (flown: FlightInputs) => readonly number[]): readonly Influence[] {
  const base = times(model.known);
  return (Object.keys(model.estimates) as (keyof FlightInputs)[]).map((key) => {
    // Small against the value, and against 1 m/s for a wind of 0.
    const step = 1e-4 * Math.max(Math.abs(model.known[key]), key === 'tailwindMps' ? 100 : 0);
    const moved = times({ ...model.known, [key]: model.known[key] + step });
    return { of: model.estimates[key], effect: moved.map((t, i) => -(t - (base[i] as number)) / step) };
  });
}

const oneHot = (length: number, index: number, value: number): readonly number[] =>
  Array.from({ length }, (_, i) => (i === index ? value : 0));

/** No larger than one fit in a thousand has it where the claimed uncertainties hold. */
function isExpected(fit: Fit): boolean {
  return fit.degreesOfFreedom < 1 || fit.chiSquared <= chiSquaredLimit(EXPECTED_PROBABILITY, fit.degreesOfFreedom);
}
