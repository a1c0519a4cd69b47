/**
 * From passages to velocity. All gates at once: start time, muzzle velocity and drag fitted by weighted least squares,
 * the drag curve of a smooth sphere as prior knowledge, wide enough to be overruled by the gates. Every input's
 * uncertainty is carried to every result, and inputs shared by several results stay correlated.
 */
import { combine, derive, type Estimate, type Fit, fitLeastSquares, type Influence, input, type Parameter } from '../metrology/index.ts';
import { type Drag, fly, monotoneCubic, referenceSphereDrag } from '../physics/index.ts';
import type { Gate, Rig } from '../rig/index.ts';
import type { AirEstimates } from './air.ts';

/** One gate's passage, as the fit takes it. */
export interface TimedPassage {
  readonly gate: Gate;
  /** Projectile's centre in the beam, since the firing, s. */
  readonly timeS: number;
  readonly occlusionS: number | undefined;
}

export interface TimeBase {
  /** Relative, k = 1, of the tick rate against host time. */
  readonly rateStandardUncertainty: number;
  readonly tickS: number;
  /** Offset between the firing board's clock and each other board's, s, k = 1. */
  readonly offsetStandardUncertaintyS: Readonly<Record<string, number>>;
  readonly firingBoard: string;
}

export interface Reduction {
  readonly muzzleVelocityMps: Estimate;
  readonly targetVelocityMps: Estimate;
  readonly mach: Estimate;
  readonly dragCoefficient: Estimate;
  /** Measured minus fitted, s, in the passages' order. */
  readonly residualsS: readonly number[];
  /** Chi-squared is what these uncertainties would lead one to expect, at the 0.1 % level. */
  readonly fits: boolean;
}

export interface PairReduction {
  readonly name: string;
  readonly gates: readonly [string, string];
  readonly positionM: number;
  readonly velocityMps: Estimate;
}

/** The host's own oscillator, against which every board's rate is measured: ±20 ppm (common practice), rectangular. */
const HOST_CLOCK_RELATIVE = 20e-6 / Math.sqrt(3);
/** A lone leading edge leaves the chord unknown by about this much, m, k = 1. */
const LONE_EDGE_M = 1e-3;
/** How well the slope of a published drag curve is known, per unit of Mach: a part of its own slope and a floor. */
const SLOPE_SHARE = 0.3;
const SLOPE_FLOOR_PER_MACH = 0.3;
/** The scale of the curve gets twice its claimed uncertainty: our ball is not the one it was measured with. */
const SCALE_WIDENING = 2;
/** How far above the mean speed between the gates a muzzle velocity may be looked for. */
const CURVE_REACH = 1.6;
const CURVE_NODES = 240;
/** Two-sided normal deviate for 0.1 %, used in the Wilson–Hilferty approximation of chi-squared (from memory; Abramowitz & Stegun 26.4.17). */
const CHI_SQUARED_DEVIATE = 3.09;

interface FlightInputs {
  readonly densityKgM3: number;
  readonly massKg: number;
  readonly diameterM: number;
  readonly speedOfSoundMps: number;
}

interface DragPrior {
  readonly machReference: number;
  readonly scaleStandardUncertainty: number;
  readonly slopeStandardUncertaintyPerMach: number;
}

/** @returns undefined with fewer than two passages, or where the fit does not settle */
export function reduce(passages: readonly TimedPassage[], rig: Rig, air: AirEstimates, time: TimeBase): Reduction | undefined {
  const first = passages[0];
  const last = passages.at(-1);
  if (!first || !last || first === last) return undefined;
  const estimates = {
    densityKgM3: air.densityKgM3,
    massKg: input('projectile mass', 'kg', rig.projectile.massKg),
    diameterM: input('projectile diameter', 'm', rig.projectile.diameterM),
    speedOfSoundMps: air.speedOfSoundMps,
  };
  const known: FlightInputs = {
    densityKgM3: estimates.densityKgM3.value,
    massKg: estimates.massKg.value,
    diameterM: estimates.diameterM.value,
    speedOfSoundMps: estimates.speedOfSoundMps.value,
  };
  const positions = passages.map((p) => p.gate.positionM.value);
  const meanVelocityMps = ((positions.at(-1) as number) - (positions[0] as number)) / (last.timeS - first.timeS);
  const prior = dragPrior(meanVelocityMps, known, air.viscosityPaS);
  const curve = tabulate(known, air.viscosityPaS, CURVE_REACH * prior.machReference);
  const flight = (velocity: number, scale: number, slope: number, flown: FlightInputs, places: readonly number[]) =>
    fly(velocity, places, dragModel(flown, curve, prior.machReference, scale, slope));
  const times = (p: readonly number[], flown: FlightInputs): readonly number[] =>
    flight(p[1] as number, p[2] as number, p[3] as number, flown, positions).map((passage) => (p[0] as number) + passage.timeS);

  const timing = passages.map((passage) => timingInputs(passage, meanVelocityMps, time));
  const fit = fitLeastSquares({
    predict: (p) => times(p, known),
    observed: passages.map((p) => p.timeS),
    weightUncertainty: timing.map((t) => t.standardUncertaintyS),
    parameters: parametersOf(first, meanVelocityMps, prior),
    influences: (p) => [
      ...timing.flatMap((t, i) => t.inputs.map((part) => ({ of: part.of, effect: oneHot(passages.length, i, part.effect) }))),
      ...boardOffsets(passages, time),
      ...clockRate(passages, time),
      ...flightInfluences(estimates, known, (flown) => times(p, flown)),
    ],
  });
  if (!fit) return undefined;
  const [, velocity, scale, slope] = fit.parameters as [Estimate, Estimate, Estimate, Estimate];
  const target = input('target position', 'm', rig.targetPositionM);
  const targetVelocityMps = derive(
    (v, a, b, densityKgM3, massKg, diameterM, speedOfSoundMps, x) =>
      flight(v, a, b, { densityKgM3, massKg, diameterM, speedOfSoundMps }, [x])[0]?.velocityMps ?? 0,
    velocity,
    scale,
    slope,
    estimates.densityKgM3,
    estimates.massKg,
    estimates.diameterM,
    estimates.speedOfSoundMps,
    target,
  );
  const reference = curve(prior.machReference);
  return {
    muzzleVelocityMps: velocity,
    targetVelocityMps,
    mach: derive((v, c) => v / c, velocity, air.speedOfSoundMps),
    dragCoefficient: derive((a) => (1 + a) * reference, scale),
    residualsS: fit.residuals,
    fits: isExpected(fit),
  };
}

/** Spacing over flight time; belongs to the middle of the pair (drag shifts that by (kx)²/24, under 1e-5). */
export function reducePair(name: string, from: TimedPassage, to: TimedPassage, time: TimeBase): PairReduction {
  const spacingM = to.gate.positionM.value - from.gate.positionM.value;
  const flightS = to.timeS - from.timeS;
  const velocity = spacingM / flightS;
  const ends = [
    { passage: from, sign: 1 },
    { passage: to, sign: -1 },
  ];
  const parts = ends.flatMap(({ passage, sign }) =>
    timingInputs(passage, velocity, time).inputs.map((part) => ({ of: part.of, partial: (sign * part.effect * velocity) / flightS })),
  );
  const shared = [...boardOffsets([from, to], time), ...clockRate([from, to], time)].map((influence) => ({
    of: influence.of,
    partial: ((((influence.effect[0] as number) - (influence.effect[1] as number)) as number) * velocity) / flightS,
  }));
  return {
    name,
    gates: [from.gate.name, to.gate.name],
    positionM: (from.gate.positionM.value + to.gate.positionM.value) / 2,
    velocityMps: combine(velocity, [...parts, ...shared]),
  };
}

/** Expected relative loss of speed per metre, for the search among edges. */
export function expectedDecayPerM(rig: Rig, air: AirEstimates): (velocityMps: number) => number {
  const known: FlightInputs = {
    densityKgM3: air.densityKgM3.value,
    massKg: rig.projectile.massKg.value,
    diameterM: rig.projectile.diameterM.value,
    speedOfSoundMps: air.speedOfSoundMps.value,
  };
  return (velocity) => retardationPerM(known) * curveAt(velocity / known.speedOfSoundMps, known, air.viscosityPaS).dragCoefficient;
}

const retardationPerM = (flown: FlightInputs): number => (flown.densityKgM3 * Math.PI * flown.diameterM ** 2) / (8 * flown.massKg);

function curveAt(mach: number, flown: FlightInputs, viscosityPaS: number) {
  const reynolds = Math.max(1e3, (flown.densityKgM3 * mach * flown.speedOfSoundMps * flown.diameterM) / viscosityPaS);
  return referenceSphereDrag({ mach, reynolds });
}

/**
 * The curve in this air over the speeds that a flight can see, as a table: the fit looks it up some ten thousand times.
 * 240 nodes keep within 1e-4 of the curve, a hundredth of what is claimed of it.
 */
function tabulate(known: FlightInputs, viscosityPaS: number, machMax: number): (mach: number) => number {
  const machs = Array.from({ length: CURVE_NODES }, (_, i) => ((i + 1) / CURVE_NODES) * machMax);
  const curve = monotoneCubic(
    machs,
    machs.map((mach) => curveAt(mach, known, viscosityPaS).dragCoefficient),
  );
  return (mach) => curve(mach).value;
}

function dragModel(flown: FlightInputs, curve: (mach: number) => number, machReference: number, scale: number, slope: number): Drag {
  return {
    retardationPerM: retardationPerM(flown),
    coefficientAt: (airspeedMps: number) => {
      const mach = airspeedMps / flown.speedOfSoundMps;
      return (1 + scale) * curve(mach) + slope * (mach - machReference);
    },
  };
}

function dragPrior(velocityMps: number, known: FlightInputs, viscosityPaS: number): DragPrior {
  const machReference = velocityMps / known.speedOfSoundMps;
  const curve = curveAt(machReference, known, viscosityPaS);
  return {
    machReference,
    scaleStandardUncertainty: SCALE_WIDENING * curve.relativeStandardUncertainty,
    slopeStandardUncertaintyPerMach: SLOPE_FLOOR_PER_MACH + SLOPE_SHARE * Math.abs(curve.slopePerMach),
  };
}

function parametersOf(first: TimedPassage, velocityMps: number, prior: DragPrior): readonly Parameter[] {
  const nothing = { value: 0, standardUncertainty: Number.POSITIVE_INFINITY };
  const around = (standardUncertainty: number) => ({ value: 0, standardUncertainty });
  return [
    { name: 'muzzle time', unit: 's', start: first.timeS - first.gate.positionM.value / velocityMps, prior: nothing, step: 1e-6 },
    { name: 'muzzle velocity', unit: 'm/s', start: velocityMps, prior: nothing, step: 1e-3 * velocityMps },
    { name: 'drag curve, scale', unit: '1', start: 0, prior: around(prior.scaleStandardUncertainty), step: 1e-2 },
    { name: 'drag curve, slope with Mach', unit: '1', start: 0, prior: around(prior.slopeStandardUncertaintyPerMach), step: 1e-2 },
  ];
}

/** What makes one gate's passage time uncertain. Effects are on observed minus predicted, s per unit of the input. */
function timingInputs(passage: TimedPassage, velocityMps: number, time: TimeBase) {
  const { gate } = passage;
  const edges = passage.occlusionS === undefined ? 1 : 2;
  const of = (what: string, unit: string, standardUncertainty: number, effect: number) => ({
    of: input(`gate ${gate.name} ${what}`, unit, { value: 0, standardUncertainty }),
    effect,
  });
  const inputs = [
    { of: input(`gate ${gate.name} position`, 'm', gate.positionM), effect: -1 / velocityMps },
    { of: input(`gate ${gate.name} delay`, 's', gate.delayS), effect: -1 },
    of('edge jitter', 's', gate.jitterS / Math.sqrt(edges), 1),
    of('tick quantisation', 's', time.tickS / Math.sqrt(12 * edges), 1),
    ...(edges === 1 ? [of('chord (one edge only)', 'm', LONE_EDGE_M, 1 / velocityMps)] : []),
  ];
  const standardUncertaintyS = Math.hypot(...inputs.map((part) => part.effect * (part.of.terms[0]?.standardUncertainty ?? 0)));
  return { inputs, standardUncertaintyS: Math.max(standardUncertaintyS, 1e-9) };
}

/** Gates on another board than the firing's share that board's clock offset. */
function boardOffsets(passages: readonly TimedPassage[], time: TimeBase): readonly Influence[] {
  const others = [...new Set(passages.map((p) => p.gate.board))].filter((board) => board !== time.firingBoard);
  return others.map((board) => ({
    of: input(`clock offset of ${board}`, 's', { value: 0, standardUncertainty: time.offsetStandardUncertaintyS[board] ?? 0 }),
    effect: passages.map((p) => (p.gate.board === board ? 1 : 0)),
  }));
}

function clockRate(passages: readonly TimedPassage[], time: TimeBase): readonly Influence[] {
  const effect = passages.map((p) => p.timeS);
  return [
    { of: input('board clock rate', '1', { value: 1, standardUncertainty: time.rateStandardUncertainty }), effect },
    { of: input('host clock rate', '1', { value: 1, standardUncertainty: HOST_CLOCK_RELATIVE }), effect },
  ];
}

function flightInfluences(
  estimates: Readonly<Record<keyof FlightInputs, Estimate>>,
  known: FlightInputs,
  times: (flown: FlightInputs) => readonly number[],
): readonly Influence[] {
  const base = times(known);
  return (Object.keys(estimates) as (keyof FlightInputs)[]).map((key) => {
    const step = 1e-4 * known[key];
    const moved = times({ ...known, [key]: known[key] + step });
    return { of: estimates[key], effect: moved.map((t, i) => -(t - (base[i] as number)) / step) };
  });
}

const oneHot = (length: number, index: number, value: number): readonly number[] =>
  Array.from({ length }, (_, i) => (i === index ? value : 0));

/** Chi-squared against its 99.9 % point. */
function isExpected(fit: Fit): boolean {
  const n = fit.degreesOfFreedom;
  if (n < 1) return true;
  const limit = n * (1 - 2 / (9 * n) + CHI_SQUARED_DEVIATE * Math.sqrt(2 / (9 * n))) ** 3;
  return fit.chiSquared <= limit;
}
