/** Each shot of a session under the recorded and under a corrected rig file, side by side. */
import type { ComparedResult, ComparedShot, ComparedValue, Result, RigComparison, Shot } from '../../../protocol/index.ts';
import { differenceOf } from '../../pipeline/index.ts';
import { formatWithUncertainty, NO_VALUE, type QuantityKind } from '../../units/index.ts';
import { shotJson } from '../shots/shot-json.ts';
import { resultsOf } from '../shots/shot-results.ts';
import { columns } from '../text/columns.ts';

export interface Reduced {
  readonly rigFile: string;
  readonly shots: readonly Shot[];
}

/** Another firing signal, or a clock fitted otherwise, moves the same firing by less; two shots are further apart. */
const SAME_FIRING_NS = 0.5e9;

export function compareRigs(session: string, recorded: Reduced, corrected: Reduced): RigComparison {
  const left = new Set(corrected.shots);
  const pairs = recorded.shots.map((before): readonly [Shot | undefined, Shot | undefined] => {
    const after = [...left].find((shot) => Math.abs(shot.firedAtNs - before.firedAtNs) < SAME_FIRING_NS);
    if (after) left.delete(after);
    return [before, after];
  });
  const all = [...pairs, ...[...left].map((shot) => [undefined, shot] as const)];
  const firedNs = ([before, after]: readonly [Shot | undefined, Shot | undefined]): number => (before ?? after)?.firedAtNs ?? 0;
  return {
    session,
    recordedRig: recorded.rigFile,
    correctedRig: corrected.rigFile,
    shots: all.sort((a, b) => firedNs(a) - firedNs(b)).flatMap(([before, after]) => comparedShot(before, after) ?? []),
  };
}

function comparedShot(before: Shot | undefined, after: Shot | undefined): ComparedShot | undefined {
  const either = before ?? after;
  if (!either) return undefined;
  const recorded = new Map((before ? resultsOf(before) : []).map((named) => [named.name, named]));
  const corrected = new Map((after ? resultsOf(after) : []).map((named) => [named.name, named]));
  const results = [...new Set([...recorded.keys(), ...corrected.keys()])].flatMap((name): readonly ComparedResult[] => {
    const [first, second] = [recorded.get(name), corrected.get(name)];
    const named = second ?? first;
    if (!named || !(first?.result || second?.result)) return [];
    const { title, kind } = named;
    return [{ name, title, kind, ...compared(first?.result, second?.result) }];
  });
  return {
    id: either.id,
    firedAt: either.firedAt,
    ...(before ? { recordedId: before.id } : {}),
    ...(after ? { correctedId: after.id } : {}),
    recordedFlags: before?.flags ?? [],
    correctedFlags: after?.flags ?? [],
    results,
  };
}

function compared(first: Result | undefined, second: Result | undefined): Omit<ComparedResult, 'name' | 'title' | 'kind'> {
  return {
    unit: (second ?? first)?.unit ?? '1',
    ...(first ? { recorded: plain(first) } : {}),
    ...(second ? { corrected: plain(second) } : {}),
    ...(first && second ? { difference: plain(differenceOf(first, second)) } : {}),
  };
}

const plain = ({ value, expandedUncertainty }: ComparedValue): ComparedValue => ({ value, expandedUncertainty });

/** As a person reads it on a terminal: a table a shot. */
export function comparisonLines({ recordedRig, correctedRig, shots }: RigComparison): readonly string[] {
  const titles = ['Result, ± 95 %', `Recorded: ${recordedRig}`, `Corrected: ${correctedRig}`, 'Corrected less recorded'];
  return [
    `Each shot under the recorded rig file (${recordedRig}) and under the corrected one (${correctedRig}).`,
    'The ± of a difference leaves out what both share: it tells how sure the correction is, and not the shot.',
    ...shots.flatMap((shot) => ['', headLine(shot), ...columns(titles, shot.results.map(row)), ...flagLines(shot)]),
  ];
}

function headLine({ id, firedAt, recordedId, correctedId }: ComparedShot): string {
  const head = `Shot ${id}, fired ${firedAt}`;
  if (recordedId === undefined) return `${head}: only under the corrected rig file.`;
  if (correctedId === undefined) return `${head}: only under the recorded rig file.`;
  return recordedId === correctedId ? head : `${head} (${correctedId} under the corrected rig file)`;
}

function row({ title, kind, recorded, corrected, difference }: ComparedResult): readonly string[] {
  const text = (value: ComparedValue | undefined): string =>
    value ? formatWithUncertainty(value.value, value.expandedUncertainty, kind as QuantityKind, 'SI') : NO_VALUE;
  return [title, text(recorded), text(corrected), difference && recorded ? signed(difference, recorded, text) : NO_VALUE];
}

/** What is so far below the result's own uncertainty is rounding. */
const SAME_SHARE = 1e-6;

function signed(difference: ComparedValue, of: ComparedValue, text: (value: ComparedValue) => string): string {
  const least = SAME_SHARE * of.expandedUncertainty;
  if (Math.abs(difference.value) < least && difference.expandedUncertainty < least) return 'none';
  return difference.value > 0 ? `+${text(difference)}` : text(difference);
}

const flagLines = ({ recordedFlags, correctedFlags }: ComparedShot): readonly string[] =>
  recordedFlags.join() === correctedFlags.join()
    ? []
    : [`Flags: ${recordedFlags.join(', ') || 'none'} as recorded, ${correctedFlags.join(', ') || 'none'} as corrected`];

/** Beside the session under the corrected rig file: the session as it was recorded, and each difference. */
export const comparisonJson = (comparison: RigComparison, recorded: readonly Shot[]) => ({
  rigFile: comparison.correctedRig,
  recorded: { rigFile: comparison.recordedRig, shots: recorded.map(shotJson) },
  comparison: comparison.shots,
});
