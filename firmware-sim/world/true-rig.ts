/** What Heron really is in one session: each claim of its rig file, with an error drawn from the claimed uncertainty. */
import { GATES, HERON } from './heron.ts';
import { randomStream } from './random.ts';

export interface TrueGate {
  readonly name: string;
  readonly input: number;
  readonly positionM: number;
  /** Of the beam above the straight line from the bore, m. */
  readonly heightM: number;
  /** Detector and input, s; may be negative, as only differences are known. */
  readonly delayS: number;
  readonly beamWidthM: number;
  /** Share of the beam that must be covered before the comparator trips. */
  readonly threshold: number;
}

export interface TrueRig {
  readonly gates: readonly TrueGate[];
  readonly targetPositionM: number;
  readonly ballDiameterM: number;
  /** Of this session's balls on the published drag curve. */
  readonly dragFactor: number;
}

export function drawTrueRig(seed: number): TrueRig {
  const random = randomStream(seed, 'rig');
  return {
    gates: GATES.map((gate) => ({
      name: gate.name,
      input: gate.input,
      positionM: gate.positionM + HERON.gatePositionUncertaintyM * random.normal(),
      // The beams were set to the path of a ball of middling speed.
      heightM: -4.9 * (gate.positionM / 300) ** 2 + 0.002 * random.normal(),
      delayS: HERON.gateDelayUncertaintyS * random.normal(),
      beamWidthM: 0.001,
      threshold: 0.5 + 0.03 * random.normal(),
    })),
    targetPositionM: HERON.targetPositionM + HERON.targetPositionUncertaintyM * random.normal(),
    ballDiameterM: HERON.ballDiameterM + HERON.ballDiameterUncertaintyM * random.normal(),
    dragFactor: 1 + 0.03 * random.normal(),
  };
}
