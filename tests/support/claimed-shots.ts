/**
 * Shots whose every error is drawn from what the rig file claims, straight into the reduction: no board, no samples, so
 * that tens of thousands are affordable. Flight and beams are the simulated world's own code.
 */
import { blast, chatter, filmFragments, lightFlicker, mergeOcclusions, type Occlusion } from '../../firmware-sim/world/faults.ts';
import { type Flight, type FlightInput, fly, sphereDragCoefficient } from '../../firmware-sim/world/flight.ts';
import { occlude } from '../../firmware-sim/world/gates.ts';
import { type Random, randomStream } from '../../firmware-sim/world/random.ts';
import { densityFormula, moistAirDensityKgM3, speedOfSoundFormula, speedOfSoundMps } from '../../host/physics/index.ts';
import { type AirEstimates, estimateAir } from '../../host/pipeline/air.ts';
import { departing, FlightModel } from '../../host/pipeline/flight-model.ts';
import type { TimeBase } from '../../host/pipeline/gate-timing.ts';
import { type EdgesReduction, reduceEdges } from '../../host/pipeline/reduce-edges.ts';
import type { TimedEdge } from '../../host/pipeline/timed-edge.ts';
import { type Gate, type Rig, stampOf } from '../../host/rig/index.ts';
import type { Latched, ShotAir } from '../../protocol/index.ts';

export interface ClaimedShot extends EdgesReduction {
  /** What the reduction was given. */
  readonly input: {
    readonly timed: readonly TimedEdge[];
    readonly air: AirEstimates;
    /** What the instruments said of it. */
    readonly latched: Pick<ShotAir, 'temperatureK' | 'pressurePa' | 'relativeHumidity' | 'tailwindMps'>;
    readonly time: TimeBase;
  };
  readonly truth: {
    readonly muzzleMps: number;
    readonly targetMps: number;
    readonly mach: number;
    readonly dragAt: (mach: number) => number;
    readonly flight: Flight;
    /** Since the firing, at the muzzle datum. */
    readonly muzzleAtS: number;
    /** Relative, of all places along the flight line together. */
    readonly tape: number;
    /** Of the ball's way beside the flight line. */
    readonly sidewaysM: number;
  };
}

export interface ClaimedShotOptions {
  readonly seed: number;
  /** Errors so many times larger than claimed, behind the rig file's back. */
  readonly inflate?: { readonly positions?: number; readonly jitter?: number };
  /** Fragments, blast and a chattering detector; or light that flickers over all gates. */
  readonly faults?: 'debris' | 'flicker';
}

const MUZZLE_MPS = { min: 200, max: 560 };
const FIRED_TO_MUZZLE_S = 0.02;
const RATE_U = 2e-6;
const AIR_U = { temperatureK: 0.2, pressurePa: 60, relativeHumidity: 0.02 };
const rect = (random: Random, u: number): number => random.between(-1, 1) * u * Math.sqrt(3);

export function claimedShot(rig: Rig, options: ClaimedShotOptions): ClaimedShot {
  const random = randomStream(options.seed, 'claimed');
  const muzzleMps = random.between(MUZZLE_MPS.min, MUZZLE_MPS.max);
  const { measured, latched, truth: air } = drawAir(random, rig);
  const windMps = rig.tailwindMps.value + rig.tailwindMps.standardUncertainty * random.normal();
  const diameterM = rig.projectile.diameterM.value + rig.projectile.diameterM.standardUncertainty * random.normal();
  const massKg = rig.projectile.massKg.value + rig.projectile.massKg.standardUncertainty * random.normal();

  const launch = {
    muzzleVelocityMps: muzzleMps,
    elevationRad: 0.0004 * random.normal(),
    diameterM,
    massKg,
    densityKgM3: air.densityKgM3,
    speedOfSoundMps: air.speedOfSoundMps,
    tailwindMps: windMps,
    distanceM: rig.targetPositionM.value + 0.2,
  };
  const { flight, dragAt } = drawFlight(launch, rig, measured, random);
  const targetM = rig.targetPositionM.value + rig.targetPositionM.standardUncertainty * random.normal();

  const set = {
    tape: rig.tapeRelativeStandardUncertainty * random.normal(),
    sidewaysM: rig.sidewaysStandardUncertaintyM * random.normal(),
  };
  const timed = drawEdges(
    rig,
    options,
    random,
    (gate) => flightThrough(gate, { ...set, rig }, random, options, flight, diameterM),
    muzzleMps,
    air,
  );
  const time: TimeBase = { rateStandardUncertainty: RATE_U, tickS: 1 / 16e6, offsetStandardUncertaintyS: {}, firingBoard: 'gate-board' };
  return {
    ...reduceEdges(timed, rig, measured, time),
    input: { timed, air: measured, latched, time },
    truth: {
      muzzleMps,
      targetMps: flight.at(targetM).speedMps,
      mach: (muzzleMps - windMps) / air.speedOfSoundMps,
      dragAt,
      flight,
      muzzleAtS: FIRED_TO_MUZZLE_S,
      ...set,
    },
  };
}

/** Rounds in which the flight and the drag that is claimed of its speeds come to agree. */
const ROUNDS = 3;

/** The drag is drawn from what is claimed to be known of it at the speeds at which the ball then really flies. */
function drawFlight(launch: Omit<FlightInput, 'dragFactor'>, rig: Rig, air: AirEstimates, random: Random) {
  const [scale, slope, shape] = [random.normal(), random.normal(), random.normal()];
  let flight = fly({ ...launch, dragFactor: 1 });
  let dragAt = sphereDragCoefficient;
  for (let round = 0; round < ROUNDS; round++) {
    const { prior } = new FlightModel(rig, air, meanSpeedMps(rig, flight));
    const drag = departing(prior, {
      scale: prior.scaleStandardUncertainty * scale,
      slope: prior.slopeStandardUncertaintyPerMach * slope,
      shape: prior.shapeStandardUncertainty * shape,
    });
    dragAt = (mach) => drag(mach, sphereDragCoefficient(mach));
    flight = fly({ ...launch, dragFactor: 1, dragDeparture: (mach) => dragAt(mach) - sphereDragCoefficient(mach) });
  }
  return { flight, dragAt };
}

/** Between the first and the last gate. */
function meanSpeedMps({ gates }: Rig, flight: Flight): number {
  const [from, to] = [(gates[0] as Gate).positionM.value, (gates.at(-1) as Gate).positionM.value];
  return (to - from) / (flight.at(to).timeS - flight.at(from).timeS);
}

function flightThrough(
  gate: Gate,
  { tape, sidewaysM, rig }: { readonly tape: number; readonly sidewaysM: number; readonly rig: Rig },
  random: Random,
  options: ClaimedShotOptions,
  flight: Flight,
  diameterM: number,
): Occlusion | undefined {
  const inflate = options.inflate?.positions ?? 1;
  const beam = {
    name: gate.name,
    input: gate.input,
    positionM:
      (1 + tape) * gate.positionM.value +
      sidewaysM * gate.squarenessStandardUncertaintyRad * random.normal() +
      inflate * gate.positionM.standardUncertainty * random.normal(),
    heightM: -4.9 * (gate.positionM.value / 300) ** 2 + 0.002 * random.normal(),
    delayS: gate.delayS.standardUncertainty * random.normal() + stampDelayS(gate, rig, options.seed),
    beamWidthM: 0.001,
    threshold: 0.5 + 0.03 * random.normal(),
  };
  return occlude(beam, flight, FIRED_TO_MUZZLE_S, diameterM);
}

/** Of a stream of its own, so that all else is drawn as it was. */
const stampDelayS = (gate: Gate, rig: Rig, seed: number): number =>
  rect(randomStream(seed, `stamps of ${gate.name}`), stampOf(rig, gate.board, true).delayS.standardUncertainty);

function drawEdges(
  rig: Rig,
  options: ClaimedShotOptions,
  random: Random,
  through: (gate: Gate) => Occlusion | undefined,
  muzzleMps: number,
  air: { readonly speedOfSoundMps: number },
): readonly TimedEdge[] {
  let occlusions: readonly Occlusion[] = rig.gates.flatMap((gate) => through(gate) ?? []);
  if (options.faults === 'flicker') occlusions = [...occlusions, ...lightFlicker(0, FIRED_TO_MUZZLE_S + 0.08, random)];
  if (options.faults === 'debris') {
    const exit = { timeS: FIRED_TO_MUZZLE_S, speedMps: muzzleMps };
    occlusions = [...chatter(occlusions, random), ...filmFragments(exit, random), ...blast(exit, air.speedOfSoundMps, random)];
  }
  const rate = 1 + Math.hypot(RATE_U, 20e-6 / Math.sqrt(3)) * random.normal();
  const jitter = options.inflate?.jitter ?? 1;
  const tick = (s: number): number => Math.floor(s * rate * 16e6) / 16e6;
  const edges = mergeOcclusions(occlusions).flatMap((o): TimedEdge[] => {
    const gateIndex = rig.gates.findIndex((gate) => gate.input === o.input);
    const gate = rig.gates[gateIndex] as Gate;
    return [
      { gateIndex, active: true, timeS: tick(o.fromS + jitter * gate.jitterS * random.normal()) - gate.delayS.value },
      { gateIndex, active: false, timeS: tick(o.toS + jitter * gate.jitterS * random.normal()) - gate.delayS.value },
    ];
  });
  return edges.sort((a, b) => a.timeS - b.timeS);
}

/** True air, and what instruments of the claimed uncertainty make of it. */
function drawAir(
  random: Random,
  rig: Rig,
): {
  readonly measured: AirEstimates;
  readonly latched: ClaimedShot['input']['latched'];
  readonly truth: { readonly speedOfSoundMps: number; readonly densityKgM3: number };
} {
  const air = {
    temperatureK: random.between(277, 299),
    pressurePa: random.between(94e3, 101e3),
    relativeHumidity: random.between(0.3, 0.9),
  };
  const latched = (value: number, standardUncertainty: number, unit: string): Latched => ({
    value: value + standardUncertainty * random.normal(),
    unit,
    standardUncertainty,
    ageS: 0,
    origin: 'measured',
  });
  const said = {
    temperatureK: latched(air.temperatureK, AIR_U.temperatureK, 'K'),
    pressurePa: latched(air.pressurePa, AIR_U.pressurePa, 'Pa'),
    relativeHumidity: latched(air.relativeHumidity, AIR_U.relativeHumidity, '1'),
    tailwindMps: { ...rig.tailwindMps, unit: 'm/s', ageS: 0, origin: 'assumed' as const },
  };
  const measured = estimateAir({
    airTemperatureK: said.temperatureK,
    airPressurePa: said.pressurePa,
    airHumidity: said.relativeHumidity,
    tailwindMps: said.tailwindMps,
  });
  return {
    measured,
    latched: said,
    truth: {
      speedOfSoundMps: speedOfSoundMps(air) * (1 + rect(random, speedOfSoundFormula(air).relativeStandardUncertainty)),
      densityKgM3: moistAirDensityKgM3(air) * (1 + rect(random, densityFormula(air).relativeStandardUncertainty)),
    },
  };
}
