import { AGREEMENT_WHY, type CameraAgreementSummary, type CameraAgreementVerdict, type ShotCamera } from '../../../protocol/index.ts';
import { conformity } from '../../metrology/index.ts';

/**
 * What was asked of a camera and the gates, held against what the camera has of a shot; judged as two gate pairs are.
 * @param camera  with a track that was checked, or was withdrawn
 */
export function cameraAgreement(asked: CameraAgreementSummary, { check, withdrawal }: ShotCamera): CameraAgreementVerdict {
  const { place, positionM, differenceMps } = check ?? {};
  if (withdrawal) return { ...asked, verdict: 'undecided', why: 'the camera’s track is withdrawn' };
  if (place === undefined || positionM === undefined || !differenceMps) {
    const why = check?.verdict === 'camera-only' ? 'the gates gave no velocity' : 'the camera’s track gives no velocity';
    return { ...asked, verdict: 'undecided', why };
  }
  const { value, expandedUncertainty } = differenceMps;
  const found = conformity(Math.abs(value), { to: asked.withinMps }, asked.guardFactor * expandedUncertainty);
  const verdict = found === 'accepted' ? 'agree' : found === 'rejected' ? 'disagree' : 'undecided';
  const compared = { place, positionM, differenceMps: value, expandedUncertaintyMps: expandedUncertainty };
  return { ...asked, verdict, ...compared, why: AGREEMENT_WHY[verdict] };
}
