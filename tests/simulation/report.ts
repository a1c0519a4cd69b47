/** What many seeds come to, and in words. */
import { FAULT_KINDS, type FaultKind, FaultTally } from './fault-counts.ts';
import type { SeedResult } from './run-seed.ts';

/** The rarest kind of fault acts in about one seed of fifty; of fewer seeds than this its absence says nothing. */
const SEEDS_FOR_EVERY_KIND = 400;

export const replayCommand = (seed: number): string => `npm run simulate -- --seed ${seed}`;

export class Report {
  readonly #tally = new FaultTally();
  readonly #failed: SeedResult[] = [];
  readonly #scores: number[] = [];
  #seeds = 0;
  #rangeS = 0;
  #lives = 0;
  #records = 0;
  #edges = 0;
  #shots = 0;
  #unflagged = 0;
  #firings = 0;
  #split = 0;

  add(result: SeedResult): void {
    this.#seeds += 1;
    this.#tally.addAll(result.faults);
    if (result.violations.length > 0) this.#failed.push(result);
    this.#scores.push(...result.scores);
    this.#rangeS += result.rangeS;
    this.#lives += result.lives;
    this.#records += result.records;
    this.#edges += result.edges;
    this.#shots += result.shots;
    this.#unflagged += result.unflagged;
    this.#firings += result.firings;
    this.#split += result.split;
  }

  get seeds(): number {
    return this.#seeds;
  }

  get kindsInjected(): number {
    return FAULT_KINDS.filter((kind) => this.#tally.counts[kind] > 0).length;
  }

  get unflagged(): number {
    return this.#unflagged;
  }

  get failed(): readonly SeedResult[] {
    return this.#failed;
  }

  /** Kinds of fault that never acted, though there were seeds enough. */
  get neverInjected(): readonly FaultKind[] {
    return this.#seeds < SEEDS_FOR_EVERY_KIND ? [] : FAULT_KINDS.filter((kind) => this.#tally.counts[kind] === 0);
  }

  get isGood(): boolean {
    return this.#failed.length === 0 && this.neverInjected.length === 0;
  }

  lines(): readonly string[] {
    const { counts } = this.#tally;
    const rms = Math.sqrt(this.#scores.reduce((sum, score) => sum + score ** 2, 0) / this.#scores.length);
    return [
      `seeds ${this.#seeds}, range time ${this.#rangeS.toFixed(0)} s, host lives ${this.#lives}, records ${this.#records}, edges ${this.#edges}`,
      `firings ${this.#firings}, of them split between two sessions ${this.#split}`,
      `shots ${this.#shots}, of them without a flag ${this.#unflagged}`,
      `muzzle velocities that no flag excuses ${this.#scores.length}; errors over their own uncertainty: rms ${rms.toFixed(2)}, worst ${Math.max(0, ...this.#scores.map(Math.abs)).toFixed(2)}`,
      'faults that acted:',
      ...FAULT_KINDS.map((kind) => `  ${kind.padEnd(26)} ${counts[kind]}`),
      ...this.neverInjected.map((kind) => `NEVER INJECTED: ${kind}`),
      `violations: ${this.#failed.reduce((sum, { violations }) => sum + violations.length, 0)} in ${this.#failed.length} seeds`,
    ];
  }
}

export function failureLines({ seed, violations }: SeedResult): readonly string[] {
  return [`seed ${seed} breaks a promise; replay it with: ${replayCommand(seed)}`, ...violations.map((violation) => `  ${violation}`)];
}
