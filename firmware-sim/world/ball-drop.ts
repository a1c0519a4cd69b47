/**
 * A dry run with no gas: the stand of pair A set upright, its first gate on top, and the ball let go above it, again and
 * again. The fall is integrated in small steps, with buoyancy, the air that goes along, and the drag of a slow sphere.
 */
import { edgesOf, type InputEdge } from './gates.ts';
import { HERON } from './heron.ts';
import { randomStream } from './random.ts';
import type { TrueRig } from './true-rig.ts';

/** From the upper beam up to the underside of the ball, as a hand with a stop finds it. */
export const DROP_HEIGHT = { meanM: 0.4, standardUncertaintyM: 0.0005 } as const;
/** At the range, by the gravity of its place. */
const GRAVITY = 9.8146;
const STEP_S = 100e-6;

export interface BallDropInput {
  readonly seed: number;
  readonly number: number;
  /** Range time at which the ball is let go. */
  readonly letGoAtS: number;
  readonly rig: TrueRig;
  readonly airDensityKgM3: number;
}

export function dropBall({ seed, number, letGoAtS, rig, airDensityKgM3 }: BallDropInput): readonly InputEdge[] {
  const random = randomStream(seed, `drop/${number}`);
  const [upper, lower] = rig.gates;
  if (!upper || !lower) return [];
  const radiusM = rig.ballDiameterM / 2;
  const heightM = DROP_HEIGHT.meanM + DROP_HEIGHT.standardUncertaintyM * random.normal() + radiusM;
  const fall = fallTimes({
    massKg: HERON.ballMassKg + HERON.ballMassUncertaintyKg * random.normal(),
    diameterM: rig.ballDiameterM,
    airDensityKgM3,
    untilM: heightM + lower.positionM - upper.positionM + 2 * radiusM,
  });
  const occlusions = [upper, lower].map((gate) => {
    const beamM = heightM + gate.positionM - upper.positionM;
    // Let go by a hand, it falls some millimetres beside the beam's middle.
    const besideM = 0.003 * random.normal();
    const halfM = Math.sqrt(Math.max(radiusM ** 2 - besideM ** 2, 0)) - (gate.threshold - 0.5) * gate.beamWidthM;
    const at = (fallenM: number): number => letGoAtS + fall(fallenM) + gate.delayS;
    return { input: gate.input, fromS: at(beamM - halfM), toS: at(beamM + halfM) };
  });
  return edgesOf(occlusions, random);
}

interface FallInput {
  readonly massKg: number;
  readonly diameterM: number;
  readonly airDensityKgM3: number;
  readonly untilM: number;
}

/** @returns the time after which the centre has fallen so far, by lines between the steps */
function fallTimes({ massKg, diameterM, airDensityKgM3, untilM }: FallInput): (fallenM: number) => number {
  const displacedKg = (airDensityKgM3 * Math.PI * diameterM ** 3) / 6;
  const movedKg = massKg + displacedKg / 2;
  const area = (Math.PI * diameterM ** 2) / 4;
  const acceleration = (speed: number): number =>
    ((massKg - displacedKg) * GRAVITY - 0.5 * airDensityKgM3 * area * slowDrag(speed, diameterM) * speed * speed) / movedKg;
  const places = [0];
  let speed = 0;
  for (let place = 0; place <= untilM; places.push(place)) {
    const middle = speed + (acceleration(speed) * STEP_S) / 2;
    place += middle * STEP_S;
    speed += acceleration(middle) * STEP_S;
  }
  return (fallenM) => {
    const after = places.findIndex((place) => place >= fallenM);
    const [a, b] = [places[after - 1] ?? 0, places[after] ?? 0];
    return (after - 1 + (fallenM - a) / (b - a)) * STEP_S;
  };
}

/** Of a smooth sphere by its Reynolds number in air of 15e-6 m²/s: Schiller and Naumann 1933, from 1000 on 0.44 (both from memory). */
function slowDrag(speedMps: number, diameterM: number): number {
  const reynolds = Math.max(1, (speedMps * diameterM) / 15e-6);
  return reynolds > 1000 ? 0.44 : (24 / reynolds) * (1 + 0.15 * reynolds ** 0.687);
}
