/** A camera, a rig and a shot so plain that what they give can be worked out by hand: nothing slows the ball, and most is exact. */
import type { CheckableShot } from '../../host/analysis/camera/index.ts';
import type { CameraSummary, Result, RigSummary } from '../../protocol/index.ts';

export interface HandCamera {
  readonly standoffM: number;
  readonly standoffU?: number;
  readonly distanceU?: number;
  readonly markU?: number;
  readonly rateU?: number;
  readonly markingU?: number;
}

export function handCamera({ standoffM, standoffU = 0, distanceU = 0, markU = 0, rateU = 0, markingU = 0.5 }: HandCamera): CameraSummary {
  return {
    name: 'hand',
    frameRateHz: { value: 1000, standardUncertainty: rateU },
    exposureS: 1e-9,
    placeM: { value: 3, standardUncertainty: 0 },
    distanceM: { value: 2, standardUncertainty: distanceU },
    standoffM: { value: standoffM, standardUncertainty: standoffU },
    scaleRelativeStandardUncertainty: 0,
    squarenessStandardUncertaintyRad: 0,
    markingStandardUncertaintyPx: markingU,
    marks: [
      { name: 'M1', positionM: { value: 2.6, standardUncertainty: markU } },
      { name: 'M2', positionM: { value: 3.4, standardUncertainty: markU } },
    ],
  };
}

export const handRig = (camera: CameraSummary): RigSummary => ({
  name: 'Heron',
  site: 'Cold Sike',
  projectile: { name: 'ball', diameterM: 0.06, massKg: 1e9 },
  claims: { diameterM: 0, massKg: 0, tape: 0, sidewaysM: 0 },
  barrelLengthM: 5.5,
  reservoirRatedPaGauge: 4e6,
  targetPositionM: 11,
  gates: [],
  channels: [],
  boards: [],
  limits: [],
  holdPoints: [],
  cameras: [camera],
});

const exactly = (value: number, unit: string): Result => ({
  value,
  unit,
  standardUncertainty: 0,
  expandedUncertainty: 0,
  coverageFactor: 1.96,
  budget: [],
  advice: '',
});

/** That the gates missed. */
export const handShot = (): CheckableShot => {
  const latched = (value: number, unit: string) => ({ value, unit, standardUncertainty: 0, ageS: 0, origin: 'measured' as const });
  return {
    firedBy: 'trigger',
    pairs: [],
    passages: [],
    air: {
      temperatureK: latched(288, 'K'),
      pressurePa: latched(1e5, 'Pa'),
      relativeHumidity: latched(0.5, '1'),
      tailwindMps: latched(0, 'm/s'),
      speedOfSoundMps: exactly(340, 'm/s'),
      densityKgM3: exactly(1.2, 'kg/m³'),
    },
  };
};
