/** The verdict as a person reads it. */
import type { CrossCheck, Suspect, Suspicion } from '../../../protocol/index.ts';
import { formatWithUncertainty, withMinus } from '../../units/index.ts';

export const noSpeedWords = (why: string): string => `No speed from this camera: ${why}.`;

interface Blaming {
  readonly camera: string;
  readonly suspicions: readonly Suspicion[];
  readonly blame: Suspect | undefined;
  /** The picture agrees with itself. */
  readonly fits: boolean;
}

export function verdictWords(check: Omit<CrossCheck, 'words'>, blaming: Blaming): string {
  const words = [said(check, blaming.camera), ...passageWords(check)];
  if (!blaming.fits) words.push('The marks and frames of the picture do not fit each other; its uncertainty is widened by as much.');
  if (blaming.suspicions.length > 0) words.push(blameWords(blaming));
  return words.join(' ');
}

function said(
  { verdict, place = 'datum', velocityMps, gatesVelocityMps, score, differenceMps }: Omit<CrossCheck, 'words'>,
  camera: string,
): string {
  const where = place === 'datum' ? 'the muzzle datum' : place;
  const own = speed(velocityMps);
  if (verdict === 'camera-only') return `The gates gave no speed; camera ${camera} alone has ${own} at ${where}.`;
  const both = `camera ${camera} has ${own} and the gates have ${speed(gatesVelocityMps)} at ${where} (E_n ${signed(score ?? 0)})`;
  if (verdict === 'agree') return `They agree: ${both}.`;
  if (verdict === 'disagree') return `They disagree: ${both}.`;
  return `The camera cannot tell: ${both}, and it knows the difference only to ± ${(differenceMps?.expandedUncertainty ?? 0).toFixed(1)} m/s.`;
}

const speed = (result: { readonly value: number; readonly expandedUncertainty: number } | undefined): string =>
  result ? formatWithUncertainty(result.value, result.expandedUncertainty, 'velocity', 'SI') : '–';

const signed = (value: number): string => (value >= 0 ? `+${value.toFixed(2)}` : withMinus(value.toFixed(2)));

/** Only where it contradicts: a camera whose frames are counted from another moment than it says. */
function passageWords({ verdict, passage }: Omit<CrossCheck, 'words'>): readonly string[] {
  if (verdict === 'disagree' || !passage) return [];
  const { value, expandedUncertainty } = passage.differenceS;
  if (Math.abs(value) <= expandedUncertainty) return [];
  const us = (s: number): string => `${Number((1e6 * Math.abs(s)).toPrecision(2))} µs`;
  return [
    `Yet it sees the ball ${us(value)} ${value > 0 ? 'later' : 'earlier'} than gate ${passage.gate} (± ${us(expandedUncertainty)}): see to its trigger frame and delay.`,
  ];
}

function blameWords({ suspicions: [first, second], blame }: Blaming): string {
  if (!first) return '';
  if (blame) return `Most likely to blame: ${blame} (${first.shift}). Look there first; it may also be the gates.`;
  return `To blame may be ${first.suspect} (${first.shift}) or ${second?.suspect} (${second?.shift}); this track cannot tell which.`;
}
