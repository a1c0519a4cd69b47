/** The shots that a question asks for, in its order. Pure. */
import type { ShotTableRow } from '../../../protocol/index.ts';
import { flagText } from './flags.ts';
import type { NumberSpan, OrderBy, ShotQuestion, SpanName } from './shot-question.ts';

export const ROWS_PER_PAGE = 50;

/** @param rows  newest first */
export function listedShots(rows: readonly ShotTableRow[], question: ShotQuestion): readonly ShotTableRow[] {
  const words = question.text
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== '');
  const matches = (row: ShotTableRow): boolean =>
    (question.session === '' || row.session === question.session) &&
    (question.projectile === '' || row.projectile === question.projectile) &&
    (question.counted === '' || row.excluded === (question.counted === 'out')) &&
    hasFlags(row, question.flags) &&
    SPANNED.every(([name, of]) => isIn(of(row), question.spans[name])) &&
    (words.length === 0 || words.every((word) => searched(row).includes(word)));
  return ordered(rows.filter(matches), question);
}

const SPANNED: readonly (readonly [SpanName, (row: ShotTableRow) => number | null])[] = [
  ['fill', ({ reservoirPressurePa }) => reservoirPressurePa],
  ['velocity', ({ muzzleVelocityMps }) => muzzleVelocityMps],
  ['mach', ({ mach }) => mach],
];

function isIn(value: number | null, { from, to }: NumberSpan): boolean {
  if (from === undefined && to === undefined) return true;
  return value !== null && value >= (from ?? Number.NEGATIVE_INFINITY) && value <= (to ?? Number.POSITIVE_INFINITY);
}

function hasFlags({ flags }: ShotTableRow, wanted: string): boolean {
  if (wanted === '') return true;
  if (wanted === 'none') return flags.length === 0;
  return wanted === 'some' ? flags.length > 0 : flags.includes(wanted);
}

/** A row is never changed after it is made: what is looked through of it is made once. */
const looked = new WeakMap<ShotTableRow, string>();
function searched(row: ShotTableRow): string {
  const known = looked.get(row);
  if (known !== undefined) return known;
  const { id, rig, projectile, flags, notes, excludedBecause, excludedBy, firedAt } = row;
  const texts = [
    id,
    firedAt,
    rig,
    projectile,
    excludedBecause,
    excludedBy,
    ...flags,
    ...flags.map((flag) => flagText(flag).title),
    ...notes,
  ];
  const made = texts.join('\n').toLowerCase();
  looked.set(row, made);
  return made;
}

const VALUES: Readonly<Record<Exclude<OrderBy, 'fired'>, (row: ShotTableRow) => number | null>> = {
  fill: ({ reservoirPressurePa }) => reservoirPressurePa,
  vacuum: ({ barrelPressurePa }) => barrelPressurePa,
  velocity: ({ muzzleVelocityMps }) => muzzleVelocityMps,
  mach: ({ mach }) => mach,
  target: ({ targetVelocityMps }) => targetVelocityMps,
  drag: ({ dragCoefficient }) => dragCoefficient,
  flags: ({ flags }) => flags.length,
};

/** Those without a value come last, whichever way; equals stay newest first. */
function ordered(rows: readonly ShotTableRow[], { by, isDescending }: ShotQuestion): readonly ShotTableRow[] {
  if (by === 'fired') return isDescending ? rows : rows.toReversed();
  const of = VALUES[by];
  return rows.toSorted((a, b) => {
    const [one, other] = [of(a), of(b)];
    if (one === null || other === null) return (one === null ? 1 : 0) - (other === null ? 1 : 0);
    return isDescending ? other - one : one - other;
  });
}
