/** One firing, worked out whole: launch, flight, beams, edges, and the truth to hold the measurement against. */
import type { Air } from './air.ts';
import {
  blast,
  chatter,
  filmFragments,
  lightFlicker,
  mergeOcclusions,
  missGate,
  noiseBurst,
  type Occlusion,
  type RangeFault,
} from './faults.ts';
import { fly } from './flight.ts';
import { edgesOf, type InputEdge, occlude } from './gates.ts';
import { HERON } from './heron.ts';
import { type Launch, launch } from './launcher.ts';
import { randomStream } from './random.ts';
import type { TrueRig } from './true-rig.ts';

export interface ShotTruth {
  readonly number: number;
  /** Range time of the valve signal. */
  readonly firedAtS: number;
  readonly muzzleVelocityMps: number;
  readonly targetVelocityMps: number;
  /** Absolute, just before firing. */
  readonly reservoirPressurePa: number;
  readonly barrelPressurePa: number;
  readonly air: Air;
  /** Along the range, positive from behind. */
  readonly tailwindMps: number;
  /** Of the airspeed. */
  readonly muzzleMach: number;
  readonly muzzleTimeS: number;
  readonly gates: readonly { readonly name: string; readonly positionM: number }[];
  readonly targetPositionM: number;
  readonly ballDiameterM: number;
  readonly ballMassKg: number;
  readonly dragFactor: number;
  readonly faults: readonly RangeFault[];
}

export interface FiringInput {
  readonly seed: number;
  readonly number: number;
  readonly firedAtS: number;
  readonly rig: TrueRig;
  readonly air: Air;
  readonly reservoirPressurePa: number;
  readonly reservoirTemperatureK: number;
  readonly barrelPressurePa: number;
  readonly faults: readonly RangeFault[];
}

export interface Firing {
  readonly truth: ShotTruth;
  readonly launch: Launch;
  readonly edges: readonly InputEdge[];
}

const TRIGGER_S = 0.05;

export function fire(input: FiringInput): Firing {
  const random = randomStream(input.seed, `shot/${input.number}`);
  const { rig, air, firedAtS } = input;
  const ballMassKg = HERON.ballMassKg + HERON.ballMassUncertaintyKg * random.normal();
  const dragFactor = rig.dragFactor * (1 + 0.005 * random.normal());
  const tailwindMps = HERON.tailwindMps + HERON.tailwindUncertaintyMps * random.normal();
  const shot = launch({
    reservoirVolumeM3: HERON.reservoirVolumeM3,
    boreM: HERON.boreM,
    barrelLengthM: HERON.barrelLengthM,
    ballMassKg,
    reservoirPressurePa: input.reservoirPressurePa,
    reservoirTemperatureK: input.reservoirTemperatureK,
    barrelPressurePa: input.barrelPressurePa,
    ambientPressurePa: air.pressurePa,
    ambientTemperatureK: air.temperatureK,
    valveFactor: 1 + 0.01 * random.normal(),
  });
  const flight = fly({
    muzzleVelocityMps: shot.muzzleVelocityMps,
    elevationRad: 0.0004 * random.normal(),
    diameterM: rig.ballDiameterM,
    massKg: ballMassKg,
    dragFactor,
    densityKgM3: air.densityKgM3,
    speedOfSoundMps: air.speedOfSoundMps,
    tailwindMps,
    distanceM: rig.targetPositionM + 0.1,
  });
  const muzzleTimeS = firedAtS + shot.exitTimeS;

  let occlusions: readonly Occlusion[] = rig.gates.flatMap((gate) => occlude(gate, flight, muzzleTimeS, rig.ballDiameterM) ?? []);
  const chance = randomStream(input.seed, `faults/${input.number}`);
  // The first shot has every fault that was asked for, so that a short run shows it; later ones have it every other time.
  const faults = input.faults.filter(() => chance.uniform() < 0.5 || input.number === 1);
  if (faults.includes('missed-gate')) occlusions = missGate(occlusions, chance);
  if (faults.includes('double-edge')) occlusions = chatter(occlusions, chance);
  if (faults.includes('fragments')) {
    occlusions = [...occlusions, ...filmFragments({ timeS: muzzleTimeS, speedMps: shot.muzzleVelocityMps }, chance)];
  }
  if (faults.includes('blast')) {
    occlusions = [...occlusions, ...blast({ timeS: muzzleTimeS, speedMps: shot.muzzleVelocityMps }, air.speedOfSoundMps, chance)];
  }
  if (faults.includes('noise-burst')) occlusions = [...occlusions, ...noiseBurst(firedAtS, chance)];
  if (faults.includes('light-flicker')) occlusions = [...occlusions, ...lightFlicker(firedAtS, firedAtS + 0.1, chance)];
  const trigger = { input: 0, fromS: firedAtS, toS: firedAtS + TRIGGER_S };

  return {
    launch: shot,
    edges: edgesOf(mergeOcclusions([trigger, ...occlusions]), random),
    truth: {
      number: input.number,
      firedAtS,
      muzzleVelocityMps: shot.muzzleVelocityMps,
      targetVelocityMps: flight.at(rig.targetPositionM).speedMps,
      reservoirPressurePa: input.reservoirPressurePa,
      barrelPressurePa: input.barrelPressurePa,
      air,
      tailwindMps,
      muzzleMach: (shot.muzzleVelocityMps - tailwindMps) / air.speedOfSoundMps,
      muzzleTimeS,
      gates: rig.gates.map(({ name, positionM }) => ({ name, positionM })),
      targetPositionM: rig.targetPositionM,
      ballDiameterM: rig.ballDiameterM,
      ballMassKg,
      dragFactor,
      faults,
    },
  };
}
