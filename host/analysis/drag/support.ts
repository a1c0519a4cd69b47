/** Where the shots support a curve: between shots that lie close enough together, and nowhere else. */
import type { DragGap } from '../../../protocol/index.ts';

/** Over a wider stretch than this a drag curve may do anything: a sphere's rises fourfold within half of it. */
export const GAP_MACH_MAX = 0.15;
export const SHOTS_FOR_CURVE = 3;

export interface Support {
  /** Each from its first to its last shot. */
  readonly stretches: readonly (readonly [fromMach: number, toMach: number])[];
  readonly gaps: readonly DragGap[];
}

/** @param machs  of the shots, ascending */
export function supportOf(machs: readonly number[]): Support {
  const runs: number[][] = [];
  const gaps: DragGap[] = [];
  for (const mach of machs) {
    const last = runs.at(-1)?.at(-1);
    if (last === undefined || mach - last > GAP_MACH_MAX) {
      if (last !== undefined) gaps.push({ fromMach: last, toMach: mach, why: gapWords(last, mach) });
      runs.push([mach]);
    } else runs.at(-1)?.push(mach);
  }
  const stretches = runs.map((run) => [run[0] as number, run.at(-1) as number] as const).filter(([from, to]) => to > from);
  return { stretches, gaps };
}

function gapWords(from: number, to: number): string {
  const needed = Math.ceil((to - from) / GAP_MACH_MAX) - 1;
  const where = Array.from({ length: Math.min(needed, 4) }, (_, i) => (from + ((i + 1) * (to - from)) / (needed + 1)).toFixed(2));
  const help =
    needed > 4
      ? `${needed} shots spread over it`
      : needed === 1
        ? `a shot at about Mach ${where[0]}`
        : `shots at about Mach ${where.join(', ')}`;
  return `No shot between Mach ${from.toFixed(3)} and ${to.toFixed(3)}, which is more than ${GAP_MACH_MAX}: no band is given there; ${help} would close the gap.`;
}
