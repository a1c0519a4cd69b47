/** What a shot came to by all that was asked of it, its cameras' part included, which is told later than the shot. */
import type { Acceptance, AgreementVerdict, CameraAgreementVerdict, ShotAcceptance } from './acceptance.ts';
import type { Shot } from './shot.ts';

/** Of two velocities whose difference was judged. */
export const AGREEMENT_WHY: Readonly<Record<AgreementVerdict['verdict'], string>> = {
  agree: 'as asked',
  disagree: 'they lie further apart than asked',
  undecided: 'the uncertainty of the difference leaves it open',
};

/** A velocity that two gauges do not agree on accepts nothing; where nothing but agreement was asked, it decides alone. */
export function wholeVerdict({ criteria, agreement, cameraAgreement = [] }: Omit<ShotAcceptance, 'verdict'>): Acceptance {
  const agreements = [...(agreement ? [agreement] : []), ...cameraAgreement];
  if (criteria.some(({ verdict }) => verdict === 'rejected')) return 'rejected';
  if (criteria.length === 0 && agreements.some(({ verdict }) => verdict === 'disagree')) return 'rejected';
  const isSure = criteria.every(({ verdict }) => verdict === 'accepted') && agreements.every(({ verdict }) => verdict === 'agree');
  return isSure ? 'accepted' : 'undecided';
}

/** The shot as it is once its cameras have been heard. */
export function withCamerasAsked(shot: Shot): Shot {
  const { acceptance, cameras = [] } = shot;
  if (!acceptance?.cameraAgreement) return shot;
  const found = cameras.flatMap(({ agreement }) => agreement ?? []);
  const cameraAgreement = acceptance.cameraAgreement.map(
    (asked): CameraAgreementVerdict => found.find(({ camera }) => camera === asked.camera) ?? asked,
  );
  const settled = { ...acceptance, cameraAgreement };
  return { ...shot, acceptance: { ...settled, verdict: wholeVerdict(settled) } };
}
