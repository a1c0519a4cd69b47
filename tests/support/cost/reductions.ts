/** What the reduction costs for shots of all speeds, clean ones and ones through fragments and blast. */
import { reduceEdges } from '../../../host/pipeline/reduce-edges.ts';
import { claimedShot } from '../claimed-shots.ts';
import { HERON_RIG } from '../heron.ts';

const FIRST_SEED = 1;

export interface ReductionCosts {
  /** Of each shot, µs of a core. */
  readonly plainUs: readonly number[];
  readonly debrisUs: readonly number[];
}

export function reductionCosts(shots: number): ReductionCosts {
  const rig = HERON_RIG;
  const costs = (faults?: 'debris'): readonly number[] =>
    Array.from({ length: shots }, (_, i) => {
      const { input } = claimedShot(rig, { seed: FIRST_SEED + i, ...(faults ? { faults } : {}) });
      const spent = process.cpuUsage();
      reduceEdges(input.timed, rig, input.air, input.time);
      const { user, system } = process.cpuUsage(spent);
      return user + system;
    });
  // What is compiled at the first shots is not the running cost.
  costs();
  return { plainUs: costs(), debrisUs: costs('debris') };
}
