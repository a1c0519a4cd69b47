/**
 * From passages to velocity. All gates at once: start time, muzzle velocity and drag fitted by weighted least squares,
 * the drag curve of a smooth sphere as prior knowledge, wide enough to be overruled by the gates. Every input's
 * uncertainty is carried to every result, and inputs shared by several results stay correlated.
 */
import {
  chiSquaredLimit,
  combine,
  derive,
  deriveAll,
  type Estimate,
  type Fit,
  fitLeastSquares,
  type Influence,
  input,
  type Parameter,
  standardUncertainty,
} from '../metrology/index.ts';
import { gravityDropM, type Passage } from '../physics/index.ts';
import type { Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';
import { type DragDeparture, type FlightInputs, FlightModel } from './flight-model.ts';
import { boardOffsets, clockRate, type TimeBase, type TimedPassage, tape, timingInputs } from './gate-timing.ts';

export interface Reduction {
  readonly muzzleVelocityMps: Estimate;
  readonly targetVelocityMps: Estimate;
  readonly velocityLostMps: Estimate;
  readonly muzzleEnergyJ: Estimate;
  readonly targetEnergyJ: Estimate;
  readonly muzzleMomentumNs: Estimate;
  readonly targetMomentumNs: Estimate;
  readonly mach: Estimate;
  /** From the muzzle datum. */
  readonly flightTimeS: Estimate;
  /** Below the line of launch, at the target. */
  readonly targetDropM: Estimate;
  readonly drag: {
    readonly coefficient: Estimate;
    /** Of the mean airspeed between the first and the last gate. */
    readonly mach: Estimate;
    readonly reynolds: Estimate;
    /** The gates have halved what was known of the drag beforehand, or better. */
    readonly resolved: boolean;
  };
}

/** The fit alone, without what follows from it. */
export interface GateFit {
  readonly fit: Fit;
  readonly model: FlightModel;
  readonly air: AirEstimates;
  /** Between the first and the last gate, over the ground. */
  readonly meanVelocityMps: Estimate;
  /** Of each passage's time, k = 1, as the weights have it. */
  readonly timeStandardUncertaintiesS: readonly number[];
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

/** In the parameters' own uncertainties: nothing that is shown hangs on less. */
const SHORT_STEP = 1e-3;
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
  const along = model.along(positions);
  const fly = remembering((p: readonly number[], flown: FlightInputs) => along(p[1] as number, departureOf(p), flown));
  const times = (p: readonly number[], flown: FlightInputs) => fly(p, flown).map((passage) => (p[0] as number) + passage.timeS);
  const start = startOf(passages, meanMps, (velocityMps) => fly([0, velocityMps, 0, 0, 0], model.known));
  const speedsAt = (p: readonly number[]) => fly(p, model.known).map((passage) => passage.velocityMps);
  const timingAt = (speeds: readonly number[]) => passages.map((passage, i) => timingInputs(passage, speeds[i] as number, time, rig));
  const timing = timingAt(start.speedsMps).map((t) => t.standardUncertaintyS);
  const fit = fitLeastSquares({
    predict: (p) => times(p, model.known),
    observed: passages.map((p) => p.timeS),
    shortStep: SHORT_STEP,
    weightUncertainty: timing,
    parameters: model.parameters(start.timeS, start.velocityMps),
    // At each gate's own speed: a place is uncertain in metres, and the ball is slower at the far gates.
    influences: (p) => [
      ...timingAt(speedsAt(p)).flatMap((t, i) =>
        t.inputs.map((part) => ({ of: part.of, effect: oneHot(passages.length, i, part.effect) })),
      ),
      ...boardOffsets(passages, time),
      ...clockRate(passages, time),
      tape(passages, speedsAt(p), rig),
      ...flightInfluences(model, (flown) => times(p, flown)),
    ],
  });
  if (!fit) return undefined;
  return {
    fit,
    model,
    air,
    meanVelocityMps: reducePair('', [first, last], { time, rig, decayPerM: 0 }).velocityMps,
    timeStandardUncertaintiesS: timing,
    velocitiesMps: speedsAt(fit.values),
    fits: isExpected(fit),
  };
}

/** Flights from the same speed with the same drag, one after the other, are one flight: only the muzzle time differs. */
function remembering(fly: (p: readonly number[], flown: FlightInputs) => readonly Passage[]): typeof fly {
  let last: { readonly p: readonly number[]; readonly flown: FlightInputs; readonly passages: readonly Passage[] } | undefined;
  return (p, flown) => {
    const same = last !== undefined && last.flown === flown && last.p.every((value, i) => i === 0 || value === p[i]);
    if (!same || last === undefined) last = { p, flown, passages: fly(p, flown) };
    return last.passages;
  };
}

interface Start {
  readonly timeS: number;
  readonly velocityMps: number;
  readonly speedsMps: readonly number[];
}

/** Where the search begins: a ball on the reference curve with the mean speed and the mean time of those at the gates. */
function startOf(passages: readonly TimedPassage[], meanMps: number, fly: (velocityMps: number) => readonly Passage[]): Start {
  const between = (of: (i: number) => number): number => of(passages.length - 1) - of(0);
  const tried = fly(meanMps);
  const triedMps = between((i) => (passages[i] as TimedPassage).gate.positionM.value) / between((i) => (tried[i] as Passage).timeS);
  const velocityMps = (meanMps * meanMps) / triedMps;
  const flown = fly(velocityMps);
  const lateS = passages.reduce((sum, passage, i) => sum + passage.timeS - (flown[i] as Passage).timeS, 0);
  return { timeS: lateS / passages.length, velocityMps, speedsMps: flown.map((passage) => passage.velocityMps) };
}

/**
 * A fit whose gates disagree and none of which can be blamed: every parameter becomes uncertain by as much more as the
 * disagreement is larger than expected (Birge 1932, from memory).
 */
export function widened(fitted: GateFit): GateFit {
  const { chiSquared, degreesOfFreedom } = fitted.fit;
  const excess = Math.max(0, chiSquared / degreesOfFreedom - 1);
  const named = fitted.model.parameters(0, 1);
  const parameters = fitted.fit.parameters.map((parameter, j) => {
    const { name, unit } = named[j] as Parameter;
    const known = { value: 0, standardUncertainty: Math.sqrt(excess) * standardUncertainty(parameter) };
    return combine(parameter.value, [
      { of: parameter, partial: 1 },
      { of: input(`disagreement of the gates (${name})`, unit, known), partial: 1 },
    ]);
  });
  return { ...fitted, fit: { ...fitted.fit, parameters } };
}

/** Everything that is said of the flight. */
export function reduceFit({ fit, model, air, meanVelocityMps }: GateFit, rig: Rig): Reduction {
  const [, muzzle, scale, slope, shape] = fit.parameters as [Estimate, Estimate, Estimate, Estimate, Estimate];
  const { densityKgM3, massKg, diameterM, speedOfSoundMps, tailwindMps } = model.estimates;
  const toTarget = model.along([rig.targetPositionM.value]);
  const fliesTo = (xM: number) => (xM === rig.targetPositionM.value ? toTarget : model.along([xM]));
  const [targetVelocity, flightTimeS, targetDropM] = deriveAll(
    (v, a, b, s, rho, m, d, c, w, x) => {
      const flown = { densityKgM3: rho, massKg: m, diameterM: d, speedOfSoundMps: c, tailwindMps: w };
      const { velocityMps, timeS } = fliesTo(x)(v, { scale: a, slope: b, shape: s }, flown)[0] as Passage;
      return [velocityMps, timeS, gravityDropM(timeS, v / velocityMps)];
    },
    muzzle,
    scale,
    slope,
    shape,
    densityKgM3,
    massKg,
    diameterM,
    speedOfSoundMps,
    tailwindMps,
    input('target position', 'm', rig.targetPositionM),
  ) as [Estimate, Estimate, Estimate];
  const energy = (velocity: Estimate) => derive((m, v) => (m * v * v) / 2, massKg, velocity);
  const momentum = (velocity: Estimate) => derive((m, v) => m * v, massKg, velocity);
  return {
    muzzleVelocityMps: muzzle,
    targetVelocityMps: targetVelocity,
    velocityLostMps: derive((v, t) => v - t, muzzle, targetVelocity),
    muzzleEnergyJ: energy(muzzle),
    targetEnergyJ: energy(targetVelocity),
    muzzleMomentumNs: momentum(muzzle),
    targetMomentumNs: momentum(targetVelocity),
    mach: derive((v, w, c) => (v - w) / c, muzzle, tailwindMps, speedOfSoundMps),
    flightTimeS,
    targetDropM,
    drag: {
      coefficient: derive((a, s) => model.dragCoefficient({ scale: a, slope: 0, shape: s }), scale, shape),
      mach: derive((v, w, c) => (v - w) / c, meanVelocityMps, tailwindMps, speedOfSoundMps),
      reynolds: derive(
        (v, w, rho, d, mu) => ((v - w) * rho * d) / mu,
        meanVelocityMps,
        tailwindMps,
        densityKgM3,
        diameterM,
        air.viscosityPaS,
      ),
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
  { time, rig, decayPerM }: { readonly time: TimeBase; readonly rig: Rig; readonly decayPerM: number },
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
    timingInputs(passage, mean, time, rig).inputs.map((part) => ({ of: part.of, partial: (sign * part.effect * mean) / flightS })),
  );
  const shared = [...boardOffsets([from, to], time), ...clockRate([from, to], time), tape([from, to], [mean, mean], rig)].map(
    (influence) => ({
      of: influence.of,
      partial: (((influence.effect[0] as number) - (influence.effect[1] as number)) * mean) / flightS,
    }),
  );
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

/** Of a vector of parameters, in the order of FlightModel.parameters. */
export const departureOf = (p: readonly number[]): DragDeparture => ({
  scale: p[2] as number,
  slope: p[3] as number,
  shape: p[4] as number,
});

const oneHot = (length: number, index: number, value: number): readonly number[] =>
  Array.from({ length }, (_, i) => (i === index ? value : 0));

/** No larger than one fit in a thousand has it where the claimed uncertainties hold. */
function isExpected(fit: Fit): boolean {
  return fit.degreesOfFreedom < 1 || fit.chiSquared <= chiSquaredLimit(EXPECTED_PROBABILITY, fit.degreesOfFreedom);
}
