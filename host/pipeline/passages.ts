/** What each gate said of the projectile: the gates that the fit rests on, and those that were left out of it. */
import type { GatePassage, Shot } from '../../protocol/index.ts';
import type { Passage } from '../physics/index.ts';
import type { Rig } from '../rig/index.ts';
import { edgeJitterS, type TimeBase, timingInputs } from './gate-timing.ts';
import { departureOf, type GateFit } from './reduction.ts';
import { BEAM_EDGES_M, chordM, offAxisM, type ScreenedPassage, type Screening } from './screening.ts';

/** What the fit says of a passage. */
interface Fitted {
  readonly velocityMps: number;
  readonly residualS: number;
  readonly timeStandardUncertaintyS: number;
}

export function passagesOf(
  { passages, fit, rejectedGates }: Screening,
  rig: Rig,
  time: TimeBase,
): Pick<Shot, 'passages' | 'rejectedPassages'> {
  const used = passages.map((passage, i) => asPassage(passage, fit && inFit(fit, i), rig));
  if (rejectedGates.length === 0) return { passages: used };
  return {
    passages: used,
    rejectedPassages: rejectedGates.map((passage) => asPassage(passage, fit && besideFit(fit, passage, rig, time), rig)),
  };
}

const inFit = ({ fit, velocitiesMps, timeStandardUncertaintiesS }: GateFit, index: number): Fitted => ({
  velocityMps: velocitiesMps[index] as number,
  residualS: fit.residuals[index] as number,
  timeStandardUncertaintyS: timeStandardUncertaintiesS[index] as number,
});

/** Where and how fast the projectile was at this gate, as the others have it. */
function besideFit({ fit, model }: GateFit, passage: ScreenedPassage, rig: Rig, time: TimeBase): Fitted {
  const [muzzleTimeS, muzzleMps] = fit.values as [number, number];
  const [flown] = model.along([passage.gate.positionM.value])(muzzleMps, departureOf(fit.values), model.known) as [Passage];
  return {
    velocityMps: flown.velocityMps,
    residualS: passage.timeS - muzzleTimeS - flown.timeS,
    timeStandardUncertaintyS: timingInputs(passage, flown.velocityMps, time, rig).standardUncertaintyS,
  };
}

function asPassage(passage: ScreenedPassage, fitted: Fitted | undefined, rig: Rig): GatePassage {
  const { gate, timeS, occlusionS } = passage;
  const chord = fitted && chordM(passage, fitted.velocityMps);
  return {
    gate: gate.name,
    pair: gate.pair,
    positionM: gate.positionM.value,
    timeS,
    ...(occlusionS === undefined ? {} : { occlusionS }),
    ...(chord === undefined ? {} : { chordM: chord, offAxisM: offAxisM(chord, rig.projectile.diameterM.value) }),
    ...(fitted ? { residualS: fitted.residualS, timeStandardUncertaintyS: fitted.timeStandardUncertaintyS } : {}),
    ...(occlusionS === undefined ? {} : { occlusionVelocityMps: occlusionVelocity(occlusionS, edgeJitterS(passage, rig), rig) }),
  };
}

/** The edges' jitter, and where in the beam the detector trips, blur its length; the diameter's own uncertainty adds. */
function occlusionVelocity(
  occlusionS: number,
  jitterS: number,
  { projectile }: Rig,
): { readonly value: number; readonly standardUncertainty: number } {
  const { value: diameterM, standardUncertainty } = projectile.diameterM;
  const value = diameterM / occlusionS;
  const relative = Math.hypot(standardUncertainty / diameterM, BEAM_EDGES_M / diameterM, (Math.SQRT2 * jitterS) / occlusionS);
  return { value, standardUncertainty: value * relative };
}
