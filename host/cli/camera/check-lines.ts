/** A camera's check as a person reads it on a terminal. */
import type { CrossCheck, Measured, ShotCamera } from '../../../protocol/index.ts';
import { formatWithUncertainty, withMinus } from '../../units/index.ts';
import { budgetLines } from '../shots/budget-lines.ts';
import { columns } from '../text/columns.ts';
import { withdrawnWords } from './camera-line.ts';

/** Without its budget. */
export function cameraLines({ camera, clip, who, track, check, withdrawal }: ShotCamera): readonly string[] {
  const head = `Camera ${camera}${clip === '' ? '' : `, clip ${clip}`}${who === '' ? '' : `, told by ${who}`}`;
  if (withdrawal) return [head, `Its track is ${withdrawnWords(withdrawal)}`];
  if (!check) return [head, track ? 'Its track was told; the shot that it is of is not closed yet.' : 'No track was told.'];
  const marked = track ? [`From ${track.marks.length} marks and ${track.frames.length} frames.`] : [];
  return [head, check.words, ...marked, ...resultLines(check)];
}

export function checkLines(of: ShotCamera): readonly string[] {
  const { check } = of;
  const { velocityMps, place = 'datum', suspicions } = check ?? {};
  return [
    ...cameraLines(of),
    ...(suspicions ? ['', ...suspicionLines(suspicions)] : []),
    ...(velocityMps ? ['', ...budgetLines(`Camera’s velocity at ${place}`, velocityMps)] : []),
  ];
}

function resultLines(check: CrossCheck): readonly string[] {
  const { place = 'datum', velocityMps, gatesVelocityMps, differenceMps, score, datumVelocityMps, passage } = check;
  const { scalePxPerM, squarenessRad, chiSquared, degreesOfFreedom } = check;
  const speed = (value: Measured | undefined): string =>
    value ? formatWithUncertainty(value.value, value.expandedUncertainty, 'velocity', 'SI') : '';
  const plain = (value: Measured, factor: number, unit: string): string => {
    const digits = Math.max(0, Math.min(9, 1 - Math.floor(Math.log10(factor * value.expandedUncertainty))));
    const at = (number: number): string => withMinus((factor * number).toFixed(digits));
    return `${at(value.value)} ${unit} ± ${at(value.expandedUncertainty)}`;
  };
  const rows: readonly (readonly [string, string])[] = [
    [`Camera, at ${place}`, speed(velocityMps)],
    [`Gates, at ${place}`, speed(gatesVelocityMps)],
    ['Difference', speed(differenceMps)],
    ['E_n', score === undefined ? '' : withMinus(score.toFixed(2))],
    ['Camera, at the muzzle datum', place === 'datum' ? '' : speed(datumVelocityMps)],
    [`Passage of gate ${passage?.gate}, camera less gate`, passage ? plain(passage.differenceS, 1e6, 'µs') : ''],
    ['Scale of the picture at the flight line', scalePxPerM ? plain(scalePxPerM, 1, 'px/m') : ''],
    ['Turned from square', squarenessRad ? plain(squarenessRad, 180 / Math.PI, '°') : ''],
    ['Chi-squared of marks and frames', chiSquared === undefined ? '' : `${chiSquared.toFixed(1)}, expected about ${degreesOfFreedom}`],
  ];
  const said = rows.filter(([, value]) => value !== '');
  return said.length === 0 ? [] : ['', ...columns(['Result', 'Value ± 95 %'], said)];
}

const suspicionLines = (suspicions: NonNullable<CrossCheck['suspicions']>): readonly string[] =>
  columns(
    ['What alone would explain it', 'Off by', 'Share'],
    suspicions.map(({ suspect, shift, share }) => [suspect, shift, `${(100 * share).toFixed(share < 0.1 ? 1 : 0)} %`]),
  );
