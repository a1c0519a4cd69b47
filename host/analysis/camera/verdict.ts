import type { CameraVerdict, CrossCheck, Result } from '../../../protocol/index.ts';

/** Expanded, relative to the speed: a camera that is less sure of the difference confirms nothing. */
const TELLING_SHARE = 0.01;

/** @param compared  undefined where the gates gave no speed */
export function verdictOf(velocity: Result, compared: Required<Pick<CrossCheck, 'differenceMps' | 'score'>> | undefined): CameraVerdict {
  if (!compared) return 'camera-only';
  if (Math.abs(compared.score) > 1) return 'disagree';
  return compared.differenceMps.expandedUncertainty > TELLING_SHARE * velocity.value ? 'cannot-tell' : 'agree';
}
