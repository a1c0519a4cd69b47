import type { DragKind, DragReport, DragShot } from '../../../protocol/index.ts';
import { describeKind } from './drag-kind.ts';
import { dragOfShot, type ShotDrag } from './drag-of-shot.ts';

/** Balls of one name whose diameters differ by more are two kinds. Relative. */
const SAME_DIAMETER = 0.005;
/** What a shot's flags say against its drag. */
const DOUBTED: Readonly<Record<string, string>> = {
  'gate-doubtful': 'its gates disagree and none of them can be blamed',
  'faster-than-possible': 'it is faster than its gas could make it',
};

interface GatheredKind {
  readonly projectile: string;
  readonly diameterM: number;
  readonly drags: ShotDrag[];
  readonly leftOut: { readonly shotId: string; readonly why: string }[];
}

/** @param shots  of any rigs and sessions, in any order */
export function dragCurves(shots: readonly DragShot[]): DragReport {
  const kinds: GatheredKind[] = [];
  const without: { readonly shotId: string; readonly why: string }[] = [];
  for (const shot of shots.toSorted((a, b) => (a.id < b.id ? -1 : 1))) {
    const drag = dragOfShot(shot);
    if (typeof drag === 'string') {
      without.push({ shotId: shot.id, why: drag });
      continue;
    }
    const known = kinds.find(({ projectile, diameterM }) => projectile === shot.projectile && isSame(diameterM, drag.diameterM));
    const kind = known ?? { projectile: shot.projectile, diameterM: drag.diameterM, drags: [], leftOut: [] };
    if (!known) kinds.push(kind);
    const why = whyLeftOut(shot);
    if (why === undefined) kind.drags.push(drag);
    else kind.leftOut.push({ shotId: shot.id, why });
  }
  const sorted = kinds.toSorted((a, b) => a.projectile.localeCompare(b.projectile, 'en') || a.diameterM - b.diameterM);
  return { kinds: sorted.map((kind): DragKind => describeKind(kind)), without };
}

function whyLeftOut({ exclusion, flags }: DragShot): string | undefined {
  if (exclusion) return `left out by ${exclusion.who}: ${exclusion.reason}`;
  const flag = flags.find((each) => Object.hasOwn(DOUBTED, each));
  return flag === undefined ? undefined : DOUBTED[flag];
}

const isSame = (a: number, b: number): boolean => Object.is(a, b) || Math.abs(a - b) <= SAME_DIAMETER * Math.abs(a);
