/** What a camera's picture depends on beside what is fitted: known from the rig file, each with its uncertainty. */
import type { CameraSummary, RigSummary } from '../../../protocol/index.ts';
import { type Estimate, input } from '../../metrology/index.ts';
import type { CameraFlight, FlightInputs } from './camera-flight.ts';

/** Names of the inputs of single frames begin so; a budget adds them up. */
export const FRAME_MARKING = 'marking of the ball, frame ';

/** How far each is from what the rig file has: relative for rate, scale and tape, else in SI. All are 0 at first. */
export interface Offsets {
  readonly frameRate: number;
  readonly distanceM: number;
  readonly placeM: number;
  readonly standoffM: number;
  /** One a mark with a standoff of its own. */
  readonly ownStandoffsM: readonly number[];
  readonly scale: number;
  readonly tape: number;
  /** Of the ball, away from the camera. */
  readonly sidewaysM: number;
  /** Of the exposure after the trigger: it moves the picture's own axis on the shot's. */
  readonly delayS: number;
  /** One a mark that was marked. */
  readonly marksM: readonly number[];
  readonly flown: FlightInputs;
}

export interface Nuisance {
  /** Its name in a budget. */
  readonly of: Estimate;
  readonly suspect?: 'scale' | 'standoff' | 'frame rate';
  /** The offsets with this one moved by so much. */
  readonly moved: (by: number) => Offsets;
  /** For a numerical derivative. */
  readonly step: number;
}

export type SeenMark = CameraSummary['marks'][number];

/** How far the ball may pass to the side where an earlier version's rig did not say. */
const SIDEWAYS_M = 2.5e-3;

/** @param marks  those that were marked */
export function nuisancesOf(
  camera: CameraSummary,
  marks: readonly SeenMark[],
  { claims }: RigSummary,
  flight: CameraFlight,
): { readonly known: Offsets; readonly nuisances: readonly Nuisance[] } {
  const known: Offsets = {
    frameRate: 0,
    distanceM: 0,
    placeM: 0,
    standoffM: 0,
    ownStandoffsM: marks.map(() => 0),
    scale: 0,
    tape: 0,
    sidewaysM: 0,
    delayS: 0,
    marksM: marks.map(() => 0),
    flown: flight.known,
  };
  const of = (name: string, unit: string, standardUncertainty: number, value = 0): Estimate =>
    input(name, unit, { value, standardUncertainty });
  const { frameRateHz, distanceM, placeM, standoffM } = camera;
  const rate = frameRateHz.standardUncertainty / frameRateHz.value;
  const plain: readonly Nuisance[] = [
    { of: of('frame rate of the camera', '1', rate, 1), suspect: 'frame rate', moved: (by) => ({ ...known, frameRate: by }), step: 1e-5 },
    {
      of: of('distance of the camera', 'm', distanceM.standardUncertainty, distanceM.value),
      moved: (by) => ({ ...known, distanceM: by }),
      step: 1e-4,
    },
    { of: of('place of the camera', 'm', placeM.standardUncertainty, placeM.value), moved: (by) => ({ ...known, placeM: by }), step: 1e-4 },
    {
      of: of('standoff of the marks', 'm', standoffM.standardUncertainty, standoffM.value),
      suspect: 'standoff',
      moved: (by) => ({ ...known, standoffM: by }),
      step: 1e-4,
    },
    {
      of: of('scale of the marks', '1', camera.scaleRelativeStandardUncertainty, 1),
      suspect: 'scale',
      moved: (by) => ({ ...known, scale: by }),
      step: 1e-5,
    },
    // The name that the gates' budgets have: one tape for all.
    { of: of('scale of the tape', '1', claims?.tape ?? 0, 1), moved: (by) => ({ ...known, tape: by }), step: 1e-5 },
    {
      of: of('ball to the side of the flight line', 'm', claims?.sidewaysM ?? SIDEWAYS_M),
      moved: (by) => ({ ...known, sidewaysM: by }),
      step: 1e-4,
    },
    {
      of: of('delay of the camera', 's', camera.trigger?.delayS.standardUncertainty ?? 0, camera.trigger?.delayS.value),
      moved: (by) => ({ ...known, delayS: by }),
      step: 1e-6,
    },
  ];
  const ofMarks = marks.flatMap((mark, i): readonly Nuisance[] => [
    {
      of: of(`mark ${mark.name} position`, 'm', mark.positionM.standardUncertainty, mark.positionM.value),
      moved: (by) => ({ ...known, marksM: known.marksM.with(i, by) }),
      step: 1e-4,
    },
    ...(mark.standoffM
      ? [
          {
            of: of(`mark ${mark.name} standoff`, 'm', mark.standoffM.standardUncertainty, mark.standoffM.value),
            moved: (by: number) => ({ ...known, ownStandoffsM: known.ownStandoffsM.with(i, by) }),
            step: 1e-4,
          },
        ]
      : []),
  ]);
  const ofFlight = (Object.keys(flight.estimates) as (keyof FlightInputs)[]).map(
    (key): Nuisance => ({
      of: flight.estimates[key],
      moved: (by) => ({ ...known, flown: { ...known.flown, [key]: known.flown[key] + by } }),
      // Small against the value, and against 100 m/s for a wind of 0.
      step: 1e-4 * Math.max(Math.abs(known.flown[key]), key === 'tailwindMps' ? 100 : 0),
    }),
  );
  return { known, nuisances: [...plain, ...ofMarks, ...ofFlight] };
}
