/**
 * How near the fit comes to the best that any unbiased estimator can do: the Cramér–Rao bound, from the information that
 * the passage times carry and what is known of the drag beforehand (van Trees' form, since the drag is drawn from it).
 * The derivatives are those of the simulated world's flight, so that the bound owes nothing to the code it is held against.
 */
import { inverse, Matrix } from 'ml-matrix';
import { type FlightInput, fly, sphereDragCoefficient } from '../../../firmware-sim/world/flight.ts';
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { exact } from '../../../host/metrology/index.ts';
import { moistAirDensityKgM3, speedOfSoundMps } from '../../../host/physics/index.ts';
import type { AirEstimates } from '../../../host/pipeline/air.ts';
import { type DragDeparture, type DragPrior, departing, FlightModel, NO_DEPARTURE } from '../../../host/pipeline/flight-model.ts';
import type { TimeBase, TimedPassage } from '../../../host/pipeline/gate-timing.ts';
import { fitGates } from '../../../host/pipeline/reduction.ts';
import { type Rig, stampOf } from '../../../host/rig/index.ts';

const MOIST_AIR = { temperatureK: 285.15, pressurePa: 98e3, relativeHumidity: 0.6 };
const AIR: AirEstimates = {
  tailwindMps: exact(0),
  speedOfSoundMps: exact(speedOfSoundMps(MOIST_AIR)),
  densityKgM3: exact(moistAirDensityKgM3(MOIST_AIR)),
  viscosityPaS: exact(1.78e-5),
  insideRange: true,
};
const TICK_S = 1 / 16e6;
const TIME: TimeBase = { rateStandardUncertainty: 0, tickS: TICK_S, offsetStandardUncertaintyS: {}, firingBoard: 'gate-board' };
const MUZZLE_TIME_S = 0.02;

export interface Efficiency {
  readonly muzzleMps: number;
  /** Mean squared error of the fitted muzzle velocity over the bound: 1 is the best possible. */
  readonly varianceOverBound: number;
}

export function efficiency(rig: Rig, at: { readonly muzzleMps: number; readonly shots: number; readonly seed: number }): Efficiency {
  const { muzzleMps, shots, seed } = at;
  const random = randomStream(seed, `efficiency at ${muzzleMps}`);
  const undisturbed = passagesOf(rig, muzzleMps, undefined, NO_DEPARTURE);
  const [first, last] = [undisturbed[0] as Point, undisturbed.at(-1) as Point];
  const { prior } = new FlightModel(rig, AIR, (last.positionM - first.positionM) / (last.timeS - first.timeS));
  const noiseS = rig.gates.map((gate, i) => {
    const { speedMps } = undisturbed[i] as Point;
    return Math.hypot(
      gate.positionM.standardUncertainty / speedMps,
      gate.delayS.standardUncertainty,
      stampOf(rig, gate.board, true).delayS.standardUncertainty,
      gate.jitterS / Math.SQRT2,
      TICK_S / Math.sqrt(24),
    );
  });
  let squares = 0;
  for (let shot = 0; shot < shots; shot++) {
    const departure = {
      scale: prior.scaleStandardUncertainty * random.normal(),
      slope: prior.slopeStandardUncertaintyPerMach * random.normal(),
      shape: prior.shapeStandardUncertainty * random.normal(),
    };
    const flown = passagesOf(rig, muzzleMps, prior, departure);
    const passages = rig.gates.map(
      (gate, i): TimedPassage => ({
        gate,
        timeS: MUZZLE_TIME_S + (flown[i] as Point).timeS + (noiseS[i] as number) * random.normal(),
        occlusionS: rig.projectile.diameterM.value / (flown[i] as Point).speedMps,
        ambiguityS: 0,
      }),
    );
    const fitted = fitGates(passages, rig, AIR, TIME);
    if (!fitted) throw new Error(`no fit at ${muzzleMps} m/s, seed ${seed}, shot ${shot}`);
    squares += ((fitted.fit.values[1] as number) - muzzleMps) ** 2;
  }
  return { muzzleMps, varianceOverBound: squares / shots / bound(rig, muzzleMps, prior, noiseS) };
}

interface Point {
  readonly positionM: number;
  readonly timeS: number;
  readonly speedMps: number;
}

function passagesOf(rig: Rig, muzzleMps: number, prior: DragPrior | undefined, departure: DragDeparture): readonly Point[] {
  const input: FlightInput = {
    muzzleVelocityMps: muzzleMps,
    elevationRad: 0,
    diameterM: rig.projectile.diameterM.value,
    massKg: rig.projectile.massKg.value,
    dragFactor: 1,
    ...(prior
      ? { dragDeparture: (mach: number) => departing(prior, departure)(mach, sphereDragCoefficient(mach)) - sphereDragCoefficient(mach) }
      : {}),
    densityKgM3: AIR.densityKgM3.value,
    speedOfSoundMps: AIR.speedOfSoundMps.value,
    tailwindMps: AIR.tailwindMps.value,
    distanceM: rig.targetPositionM.value,
  };
  const flight = fly(input);
  return rig.gates.map(({ positionM }) => ({ positionM: positionM.value, ...flight.at(positionM.value) }));
}

/** Of the variance of the muzzle velocity, (m/s)²: the inverse of the information, parameters as in FlightModel. */
function bound(rig: Rig, muzzleMps: number, prior: DragPrior, noiseS: readonly number[]): number {
  const steps = [
    0.1,
    prior.scaleStandardUncertainty / 4,
    prior.slopeStandardUncertaintyPerMach / 4,
    prior.shapeStandardUncertainty / 4,
  ] as const;
  const times = (v: number, scale: number, slope: number, shape: number) =>
    passagesOf(rig, muzzleMps + v, prior, { scale, slope, shape }).map(({ timeS }) => timeS);
  const columns = steps.map((step, j) => {
    const moved = (by: number) => times(...(steps.map((_, k) => (k === j ? by : 0)) as [number, number, number, number]));
    const [up, down] = [moved(step), moved(-step)];
    return up.map((t, i) => (t - (down[i] as number)) / (2 * step));
  });
  const jacobian = new Matrix(noiseS.map((u, i) => [1, ...columns.map((column) => column[i] as number)].map((d) => d / u)));
  const known = [0, 0, prior.scaleStandardUncertainty, prior.slopeStandardUncertaintyPerMach, prior.shapeStandardUncertainty];
  const information = jacobian.transpose().mmul(jacobian);
  for (const [j, u] of known.entries()) if (u > 0) information.set(j, j, information.get(j, j) + 1 / (u * u));
  // Seconds and metres a second differ by orders of magnitude: scaled to a unit diagonal before it is inverted.
  const scale = information.diagonal().map((d) => 1 / Math.sqrt(d));
  const scaled = information.clone();
  for (const [j, s] of scale.entries()) scaled.mulRow(j, s).mulColumn(j, s);
  return inverse(scaled).get(1, 1) * (scale[1] as number) ** 2;
}
