/** What a fitted picture says of the flight at a place: speed, and time on the camera's own axis. */
import { combine, deriveAll, type Estimate, input } from '../../metrology/index.ts';
import type { PictureFit } from './picture-fit.ts';

export interface SeenPassage {
  readonly velocityMps: Estimate;
  /** Since the firing for a camera that the trigger starts; else since the first frame of the track. */
  readonly timeS: Estimate;
}

export function passageAt({ fit, picture }: PictureFit, placeM: number): SeenPassage {
  const { flight, camera } = picture;
  const [, , , muzzle, muzzleTime, drag] = fit.parameters as [Estimate, Estimate, Estimate, Estimate, Estimate, Estimate];
  const { densityKgM3, massKg, diameterM, speedOfSoundMps, tailwindMps } = flight.estimates;
  const steps = flight.stepsTo([placeM]);
  const [velocityMps, timeS] = deriveAll(
    (muzzleMps, startS, dragScale, rho, m, d, c, w) => {
      const flown = { densityKgM3: rho, massKg: m, diameterM: d, speedOfSoundMps: c, tailwindMps: w };
      const [passage] = flight.passagesAt(steps, { muzzleMps, dragScale }, flown);
      return [passage?.velocityMps ?? Number.NaN, startS + (passage?.timeS ?? Number.NaN)];
    },
    muzzle,
    muzzleTime,
    drag,
    densityKgM3,
    massKg,
    diameterM,
    speedOfSoundMps,
    tailwindMps,
  ) as [Estimate, Estimate];
  const delay = input('delay of the camera', 's', camera.trigger?.delayS ?? { value: 0, standardUncertainty: 0 });
  // The middle of the exposure: what is seen of a ball that moved while it lasted.
  const onAxis = timeS.value + camera.exposureS / 2 + delay.value;
  return {
    velocityMps,
    timeS: combine(onAxis, [
      { of: timeS, partial: 1 },
      { of: delay, partial: 1 },
    ]),
  };
}
