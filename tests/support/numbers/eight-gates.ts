/** A shot through eight gates, and how long its reduction with every budget takes. */
import type { Estimate } from '../../../host/metrology/index.ts';
import { reduceEdges } from '../../../host/pipeline/reduce-edges.ts';
import { toResult } from '../../../host/pipeline/result.ts';
import { loadRig, type Rig } from '../../../host/rig/index.ts';
import { type ClaimedShot, claimedShot } from '../claimed-shots.ts';

const PLACES_M = [1.5, 2.5, 4, 5, 6.5, 7.5, 9, 10] as const;

/** The rig with eight gates in four pairs instead of its own. */
export function eightGateRig(rigText: string): Rig {
  const gates = PLACES_M.map((place, i) => {
    const pair = 'ABCD'[i >> 1];
    return `  - { name: ${pair}${(i % 2) + 1}, pair: ${pair}, board: gate-board, input: ${i + 1}, position: ${place} m ± 0.2 mm, delay: 0 us ± 0.2 us, jitter: 0.15 us }`;
  });
  const text = rigText.replace(/^gates:\n( {2}- .*\n)+/m, `gates:\n${gates.join('\n')}\n`);
  const loaded = loadRig(text, 'eight-gates.yaml');
  if (!loaded.ok) throw new Error(loaded.problems.map(({ message }) => message).join('\n'));
  return loaded.rig;
}

export interface ReductionTime {
  readonly shots: number;
  readonly medianMs: number;
  readonly slowestTenthMs: number;
}

/** From timed edges to every result with its budget. */
export function reductionTime(rig: Rig, { shots, firstSeed }: { readonly shots: number; readonly firstSeed: number }): ReductionTime {
  const fired = Array.from({ length: shots }, (_, i) => claimedShot(rig, { seed: firstSeed + i }));
  // Once over all of them first: a session's first shot pays for the compiler's warming, and that is another figure.
  for (const shot of fired) reduceFully(rig, shot);
  const times = fired
    .map((shot) => {
      const from = performance.now();
      reduceFully(rig, shot);
      return performance.now() - from;
    })
    .sort((a, b) => a - b);
  return { shots, medianMs: times[shots >> 1] as number, slowestTenthMs: times[Math.floor(0.9 * shots)] as number };
}

/** @returns how many budget lines there are, so that nothing is left undone */
export function reduceFully(rig: Rig, { input }: ClaimedShot): number {
  const { reduction, pairs } = reduceEdges(input.timed, rig, input.air, input.time);
  if (!reduction) throw new Error('no velocity');
  const { drag, ...plain } = reduction;
  const estimates: readonly Estimate[] = [...Object.values(plain), drag.coefficient, drag.mach, drag.reynolds];
  return [...estimates, ...pairs.map((pair) => pair.velocityMps)].reduce((sum, e) => sum + toResult(e, '').budget.length, 0);
}
