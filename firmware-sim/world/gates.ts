/** Light gates: when the ball is in which beam, and the edges that the board's inputs see. */
import type { Occlusion } from './faults.ts';
import type { Flight } from './flight.ts';
import { HERON } from './heron.ts';
import type { Random } from './random.ts';
import type { TrueGate } from './true-rig.ts';

export interface InputEdge {
  /** 0 the trigger, 1 to 8 a gate. */
  readonly input: number;
  readonly active: boolean;
  /** Range time. */
  readonly timeS: number;
}

/**
 * The ball blocks a beam for its chord at the beam's height, seen by a detector that trips at a share of the beam.
 * @param muzzleTimeS  range time of the ball's centre at the datum
 * @returns undefined where the ball misses the beam
 */
export function occlude(gate: TrueGate, flight: Flight, muzzleTimeS: number, diameterM: number): Occlusion | undefined {
  const offsetM = flight.at(gate.positionM).heightM - gate.heightM;
  const square = (diameterM / 2) ** 2 - offsetM ** 2;
  // Rising past half cover comes later and goes earlier: both edges move inwards.
  const halfM = Math.sqrt(Math.max(square, 0)) - (gate.threshold - 0.5) * gate.beamWidthM;
  if (halfM <= gate.beamWidthM) return undefined;
  return {
    input: gate.input,
    fromS: muzzleTimeS + flight.at(gate.positionM - halfM).timeS + gate.delayS,
    toS: muzzleTimeS + flight.at(gate.positionM + halfM).timeS + gate.delayS,
  };
}

/** Both edges of each occlusion with their jitter, in time order. */
export function edgesOf(occlusions: readonly Occlusion[], random: Random): readonly InputEdge[] {
  return occlusions
    .flatMap(({ input, fromS, toS }) => {
      const start = fromS + HERON.edgeJitterS * random.normal();
      // A pulse shorter than its jitter stays a pulse.
      const end = Math.max(toS + HERON.edgeJitterS * random.normal(), start + 0.2e-6);
      return [
        { input, active: true, timeS: start },
        { input, active: false, timeS: end },
      ];
    })
    .sort((a, b) => a.timeS - b.timeS);
}
