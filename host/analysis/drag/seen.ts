/** Shots as the curve's fit takes them. */
import { referenceSphereDrag } from '../../physics/index.ts';
import type { Seen } from './curve-fit.ts';
import type { ShotDrag } from './drag-of-shot.ts';

/** More are taken together with their neighbours: a fit takes time with the third power of their number. */
export const SEEN_MAX = 80;

/**
 * A shot whose Mach number is uncertain sees another place of the curve than it says: that moves the drag that it sees by
 * the curve's slope.
 * @param slopeAt  of the logarithm of the drag, per unit of Mach
 */
export function seenOf(shot: ShotDrag, slopeAt: (mach: number) => number): Seen {
  const slope = slopeAt(shot.mach);
  const effect = ({ ofLogDrag, ofMach }: { readonly ofLogDrag: number; readonly ofMach: number }): number => ofLogDrag - slope * ofMach;
  const reference = referenceSphereDrag({ mach: shot.mach, reynolds: shot.reynolds });
  return {
    mach: shot.mach,
    spread: reference.relativeStandardUncertainty,
    logDrag: shot.logDrag,
    logReference: Math.log(reference.dragCoefficient),
    ownVariance: shot.own.reduce((sum, share) => sum + effect(share) ** 2, 0),
    shared: new Map([...shot.shared].map(([name, share]) => [name, effect(share)] as const)),
  };
}

/** @param seen  in the order of Mach @returns at most SEEN_MAX, neighbours taken together as their weighted mean */
export function gathered(seen: readonly Seen[]): readonly Seen[] {
  if (seen.length <= SEEN_MAX) return seen;
  return Array.from({ length: SEEN_MAX }, (_, i) => {
    const [from, to] = [i, i + 1].map((edge) => Math.round((edge * seen.length) / SEEN_MAX)) as [number, number];
    return together(seen.slice(from, to));
  });
}

function together(group: readonly Seen[]): Seen {
  // Balls of one kind differ, so that a shot that is better timed does not count for so much more.
  const weights = group.map(({ ownVariance }) => 1 / (ownVariance + 0.003 ** 2));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const mean = (of: (one: Seen) => number): number => group.reduce((total, one, i) => total + (weights[i] as number) * of(one), 0) / sum;
  const names = new Set(group.flatMap(({ shared }) => [...shared.keys()]));
  return {
    mach: mean(({ mach }) => mach),
    spread: mean(({ spread }) => spread),
    logDrag: mean(({ logDrag }) => logDrag),
    logReference: mean(({ logReference }) => logReference),
    ownVariance: group.reduce((total, { ownVariance }, i) => total + ((weights[i] as number) / sum) ** 2 * ownVariance, 0),
    shared: new Map([...names].map((name) => [name, mean(({ shared }) => shared.get(name) ?? 0)] as const)),
  };
}
