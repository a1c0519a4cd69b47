/** From edges to what is drawn of them. */
import type { Shot } from '../../protocol/index.ts';

export interface BlockedInterval {
  readonly startS: number;
  readonly endS: number;
}

/** The used edges of a gate, paired: blocked from a leading edge to the next trailing one. */
export function blockedIntervals(shot: Shot, gate: string): readonly BlockedInterval[] {
  const used = shot.edges.filter((edge) => edge.gate === gate && edge.verdict === 'used').sort((a, b) => a.timeS - b.timeS);
  return used.flatMap((edge, index) => {
    if (!edge.active) return [];
    const next = used[index + 1];
    // Without a trailing edge only the arrival is known: a bar of no length.
    return [{ startS: edge.timeS, endS: next && !next.active ? next.timeS : edge.timeS }];
  });
}

/**
 * @param gates  names; the trigger's own edges would squeeze the gates together
 * @returns the span of time that holds the gates' edges with some room, s since the firing; undefined without edges
 */
export function stripRangeS(shot: Shot, gates: readonly string[]): readonly [number, number] | undefined {
  const times = shot.edges.filter((edge) => gates.includes(edge.gate)).map((edge) => edge.timeS);
  if (times.length === 0) return undefined;
  const from = Math.min(...times);
  const to = Math.max(...times);
  const room = Math.max((to - from) * 0.05, 5e-4);
  return [from - room, to + room];
}
