/**
 * A campaign of shots with one set-up: every error that stays from shot to shot is drawn once from what the rig file
 * claims, what is drawn anew is drawn anew, and the drag is one curve that departs smoothly from the published one by
 * about as much as published curves differ. Flight and beams are the simulated world's own code.
 */
import { mergeOcclusions } from '../../../firmware-sim/world/faults.ts';
import { fly, sphereDragCoefficient } from '../../../firmware-sim/world/flight.ts';
import { occlude } from '../../../firmware-sim/world/gates.ts';
import { type Random, randomStream } from '../../../firmware-sim/world/random.ts';
import {
  densityFormula,
  moistAirDensityKgM3,
  referenceSphereDrag,
  speedOfSoundFormula,
  speedOfSoundMps,
} from '../../../host/physics/index.ts';
import { estimateAir } from '../../../host/pipeline/air.ts';
import { reduceEdges } from '../../../host/pipeline/reduce-edges.ts';
import { toResult } from '../../../host/pipeline/result.ts';
import type { TimedEdge } from '../../../host/pipeline/timed-edge.ts';
import { type Rig, stampOf } from '../../../host/rig/index.ts';
import type { DragShot, Latched } from '../../../protocol/index.ts';

export interface DragCampaign {
  readonly shots: readonly DragShot[];
  readonly dragAt: (mach: number) => number;
}

export interface DragCampaignOptions {
  readonly seed: number;
  readonly shots: number;
  readonly muzzleMps: readonly [from: number, to: number];
  /** Relative, from ball to ball. */
  readonly scatter: number;
  /** Of the departure from the published curve; 1: as published curves differ. */
  readonly departure?: number;
}

const FIRED_TO_MUZZLE_S = 0.02;
const TICK_HZ = 16e6;
const RATE_U = 2e-6;
const AIR_U = { temperatureK: 0.5, pressurePa: 60, relativeHumidity: 0.02 };

export function dragCampaign(rig: Rig, options: DragCampaignOptions): DragCampaign {
  const random = randomStream(options.seed, 'drag campaign');
  const setUp = drawSetUp(random, rig);
  const dragAt = drawDrag(random, options.departure ?? 1);
  const [slowest, fastest] = options.muzzleMps;
  const shots = Array.from({ length: options.shots }, (_, i) => {
    // One somewhere in each of equal parts of the span.
    const muzzleMps = slowest + ((fastest - slowest) * (i + random.between(0.1, 0.9))) / options.shots;
    return drawShot(rig, { random, setUp, dragAt, muzzleMps, factor: 1 + options.scatter * random.normal(), number: i + 1 });
  });
  return { shots, dragAt };
}

/** Of detector and board together. */
const delayUncertaintyS = (gate: Rig['gates'][number], rig: Rig): number =>
  Math.hypot(gate.delayS.standardUncertainty, stampOf(rig, gate.board, true).delayS.standardUncertainty);

type SetUp = ReturnType<typeof drawSetUp>;

function drawSetUp(random: Random, rig: Rig) {
  const { projectile } = rig;
  const drawn = (known: { readonly value: number; readonly standardUncertainty: number }) =>
    known.value + known.standardUncertainty * random.normal();
  const sidewaysM = rig.sidewaysStandardUncertaintyM * random.normal();
  const tape = rig.tapeRelativeStandardUncertainty * random.normal();
  return {
    diameterM: drawn(projectile.diameterM),
    massKg: drawn(projectile.massKg),
    tailwindMps: drawn(rig.tailwindMps),
    gates: rig.gates.map((gate) => ({
      gate,
      positionM: (1 + tape) * drawn(gate.positionM) + sidewaysM * gate.squarenessStandardUncertaintyRad * random.normal(),
      delayS: drawn({ ...gate.delayS, standardUncertainty: delayUncertaintyS(gate, rig) }),
      threshold: 0.5 + 0.03 * random.normal(),
    })),
    rate: 1 + (20e-6 / Math.sqrt(3)) * random.normal(),
    bias: {
      temperatureK: AIR_U.temperatureK * random.normal(),
      pressurePa: AIR_U.pressurePa * random.normal(),
      relativeHumidity: AIR_U.relativeHumidity * random.normal(),
    },
    sound: random.between(-1, 1),
    density: random.between(-1, 1),
  };
}

/** Published, times the exponential of a sum of waves: smooth, and about as large as what is claimed of the published one. */
function drawDrag(random: Random, departure: number): (mach: number) => number {
  const lengthMach = random.between(0.15, 0.5);
  const waves = Array.from({ length: 24 }, () => ({ perMach: random.normal() / lengthMach, phase: random.between(0, 2 * Math.PI) }));
  const wave = (mach: number): number =>
    Math.sqrt(2 / waves.length) * waves.reduce((sum, { perMach, phase }) => sum + Math.cos(perMach * mach + phase), 0);
  return (mach) => {
    const { relativeStandardUncertainty } = referenceSphereDrag({ mach: Math.max(0.05, mach), reynolds: 1e6 });
    return sphereDragCoefficient(mach) * Math.exp(departure * relativeStandardUncertainty * wave(mach));
  };
}

interface Fired {
  readonly random: Random;
  readonly setUp: SetUp;
  readonly dragAt: (mach: number) => number;
  readonly muzzleMps: number;
  readonly factor: number;
  readonly number: number;
}

function drawShot(rig: Rig, { random, setUp, dragAt, muzzleMps, factor, number }: Fired): DragShot {
  const air = {
    temperatureK: random.between(283, 291),
    pressurePa: random.between(96e3, 99e3),
    relativeHumidity: random.between(0.4, 0.8),
  };
  const speedOfSound = speedOfSoundMps(air) * (1 + Math.sqrt(3) * setUp.sound * speedOfSoundFormula(air).relativeStandardUncertainty);
  const density = moistAirDensityKgM3(air) * (1 + Math.sqrt(3) * setUp.density * densityFormula(air).relativeStandardUncertainty);
  const flight = fly({
    muzzleVelocityMps: muzzleMps,
    elevationRad: 0.0004 * random.normal(),
    diameterM: setUp.diameterM,
    massKg: setUp.massKg,
    densityKgM3: density,
    speedOfSoundMps: speedOfSound,
    tailwindMps: setUp.tailwindMps,
    dragFactor: 1,
    dragDeparture: (mach) => factor * dragAt(mach) - sphereDragCoefficient(mach),
    distanceM: rig.targetPositionM.value + 0.2,
  });
  const rate = setUp.rate + RATE_U * random.normal();
  const tick = (s: number): number => Math.floor(s * rate * TICK_HZ) / TICK_HZ;
  const occlusions = setUp.gates.flatMap(({ gate, positionM, delayS, threshold }) => {
    const heightM = -4.9 * (positionM / 300) ** 2 + 0.002 * random.normal();
    return (
      occlude(
        { name: gate.name, input: gate.input, positionM, heightM, delayS, beamWidthM: 0.001, threshold },
        flight,
        FIRED_TO_MUZZLE_S,
        setUp.diameterM,
      ) ?? []
    );
  });
  const timed = mergeOcclusions(occlusions)
    .flatMap(({ input, fromS, toS }): TimedEdge[] => {
      const gateIndex = rig.gates.findIndex((gate) => gate.input === input);
      const gate = rig.gates[gateIndex] as Rig['gates'][number];
      return [
        { gateIndex, active: true, timeS: tick(fromS + gate.jitterS * random.normal()) - gate.delayS.value },
        { gateIndex, active: false, timeS: tick(toS + gate.jitterS * random.normal()) - gate.delayS.value },
      ];
    })
    .sort((a, b) => a.timeS - b.timeS);
  const latched = (value: number, standardUncertainty: number, unit: string): Latched => ({
    value,
    standardUncertainty,
    unit,
    ageS: 0,
    origin: 'measured',
  });
  const measured = estimateAir({
    airTemperatureK: latched(air.temperatureK + setUp.bias.temperatureK, AIR_U.temperatureK, 'K'),
    airPressurePa: latched(air.pressurePa + setUp.bias.pressurePa, AIR_U.pressurePa, 'Pa'),
    airHumidity: latched(air.relativeHumidity + setUp.bias.relativeHumidity, AIR_U.relativeHumidity, '1'),
    tailwindMps: { ...rig.tailwindMps, unit: 'm/s', ageS: 0, origin: 'assumed' },
  });
  const time = { rateStandardUncertainty: RATE_U, tickS: 1 / TICK_HZ, offsetStandardUncertaintyS: {}, firingBoard: 'gate-board' };
  const { reduction } = reduceEdges(timed, rig, measured, time);
  return {
    id: `campaign-${String(number).padStart(3, '0')}`,
    sessionId: 'campaign',
    rigName: rig.name,
    projectile: rig.projectile.name,
    firedAt: '2026-06-01T12:00:00.000000Z',
    flags: [],
    ...(reduction
      ? {
          dragCoefficient: toResult(reduction.drag.coefficient, '1'),
          dragMach: toResult(reduction.drag.mach, '1'),
          dragReynolds: toResult(reduction.drag.reynolds, '1'),
        }
      : {}),
  };
}
