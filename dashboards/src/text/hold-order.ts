/** The order of the hold points: which is next, and which were ticked before their turn. Nobody is kept from that; it is said. */
import type { HoldPointState } from '../../../protocol/index.ts';

export interface HoldOrder {
  /** The first that is not done. */
  readonly nextId: string | undefined;
  /** Names of the points that each was ticked ahead of, by its id; one that kept its turn is not in it. */
  readonly aheadOf: ReadonlyMap<string, readonly string[]>;
}

export function holdOrder(points: readonly HoldPointState[]): HoldOrder {
  const ahead = points.flatMap((point, index): [string, readonly string[]][] => {
    if (point.by !== 'crew' || !point.done) return [];
    const before = points.slice(0, index).filter((earlier) => isLeftOut(earlier, point));
    return before.length === 0 ? [] : [[point.id, before.map(({ name }) => name)]];
  });
  return { nextId: points.find(({ done }) => !done)?.id, aheadOf: new Map(ahead) };
}

/** A condition that lapsed and came back says nothing of when the crew ticked; a tick does. */
const isLeftOut = (earlier: HoldPointState, ticked: HoldPointState): boolean =>
  !earlier.done || (earlier.by === 'crew' && earlier.sinceNs > ticked.sinceNs);
