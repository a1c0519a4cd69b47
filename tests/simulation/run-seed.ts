/** One seed: its plan, its run, and what the run has broken. */
import { createHash } from 'node:crypto';
import { firmataLibraries } from '../../host/links/firmata/lasting-parts.ts';
import { checkBounds } from './check-bounds.ts';
import { checkEdges } from './check-edges.ts';
import { checkRecords, checkStore } from './check-records.ts';
import { checkShots } from './check-shots.ts';
import type { FaultCounts } from './fault-counts.ts';
import { type FaultPlan, planFaults } from './plan-of-faults.ts';
import { type Rebuilt, rebuild } from './rebuilt.ts';
import { Simulation } from './simulation.ts';

export interface SeedResult {
  readonly seed: number;
  readonly violations: readonly string[];
  readonly faults: FaultCounts;
  readonly rangeS: number;
  readonly lives: number;
  readonly records: number;
  readonly edges: number;
  readonly shots: number;
  readonly unflagged: number;
  readonly firings: number;
  readonly split: number;
  readonly scores: readonly number[];
  /** Of all journals. */
  readonly hash: string;
}

export interface Ran {
  readonly simulation: Simulation;
  readonly isWell: boolean;
  /** Of each life of the host, what its journal says. */
  readonly journals: readonly Rebuilt[];
}

export async function runPlan(plan: FaultPlan): Promise<Ran> {
  // Loaded before: it waits for the disk of the real machine.
  await firmataLibraries();
  const simulation = new Simulation(plan);
  const isWell = await simulation.run();
  return { simulation, isWell, journals: simulation.lives.map((life) => rebuild(simulation.disk, life.sessionId)) };
}

export async function runSeed(seed: number, plan: FaultPlan = planFaults(seed)): Promise<SeedResult> {
  const { simulation, isWell, journals } = await runPlan(plan);
  const { lives, ledger, disk, range, tally, store } = simulation;
  const found = lives.flatMap((life, i) =>
    (journals[i]?.shots ?? []).map((shot) => ({ shot, firedAtS: life.startedAtS + shot.firedAtNs / 1e9 })),
  );
  const shots = checkShots(found, range.truth, ledger);
  const violations = [
    ...simulation.troubles,
    ...(isWell ? [] : [`not recovered ${(simulation.nowS - plan.calmFromS).toFixed(1)} s after the last fault`]),
    ...checkEdges(ledger, journals),
    ...shots.wrong,
    ...lives.flatMap((life, i) => {
      const rebuilt = journals[i];
      if (rebuilt === undefined) return [];
      return [...checkRecords(life, rebuilt), ...checkStore(life, store, rebuilt), ...checkBounds(life, plan.unwrittenBytesMax)].map(
        (wrong) => `session ${life.sessionId} (ended: ${life.ended}): ${wrong}`,
      );
    }),
  ];
  for (const { faults } of range.truth) tally.add('fault of the range', faults.length);
  const hash = createHash('sha256');
  for (const name of disk.names) hash.update(name).update(disk.content(name));
  return {
    seed,
    violations,
    faults: tally.counts,
    rangeS: simulation.nowS,
    lives: lives.length,
    records: journals.reduce((sum, { records }) => sum + records.length, 0),
    edges: ledger.captures,
    shots: shots.shots,
    unflagged: shots.unflagged,
    firings: shots.firings,
    split: shots.split,
    scores: shots.scores,
    hash: hash.digest('hex'),
  };
}
