/**
 * `npm run simulate`: many seeds in some processes, and what they come to.
 *   --seeds N  how many (default 1000)   --from S  the first (default 1)   --workers N  processes (default 2)
 *   --first    ends with the first seed that breaks a promise, one process, in order
 *   --seed S   one seed, with its plan
 * An interrupt ends it with the report of what has run.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { parseArgs } from 'node:util';
import { planFaults } from './plan-of-faults.ts';
import { failureLines, Report } from './report.ts';
import { runSeed, type SeedResult } from './run-seed.ts';

/** A process is a new one after so many seeds: what libraries keep for ever stays small. */
const SEEDS_A_PROCESS = 100;
const TELL_EVERY = 500;

const { values } = parseArgs({
  options: {
    first: { type: 'boolean' },
    seeds: { type: 'string' },
    from: { type: 'string' },
    workers: { type: 'string' },
    seed: { type: 'string' },
  },
});
const say = (line: string): void => void process.stdout.write(`${line}\n`);

if (values.seed !== undefined) await one(Number(values.seed));
else if (values.first) await untilFirst(Number(values.from ?? 1), Number(values.seeds ?? 1000));
else await many(Number(values.from ?? 1), Number(values.seeds ?? 1000), Number(values.workers ?? 2));

async function one(seed: number): Promise<void> {
  const plan = planFaults(seed);
  say(JSON.stringify(plan, undefined, 2));
  const result = await runSeed(seed, plan);
  say(`${result.rangeS.toFixed(3)} s of range time, ${result.lives} lives of the host, ${result.records} records, ${result.shots} shots`);
  for (const [kind, count] of Object.entries(result.faults)) if (count > 0) say(`  ${kind.padEnd(26)} ${count}`);
  say(`journals ${result.hash}`);
  for (const line of result.violations.length > 0 ? failureLines(result) : ['No promise was broken.']) say(line);
  process.exitCode = result.violations.length > 0 ? 1 : 0;
}

async function untilFirst(from: number, count: number): Promise<void> {
  for (let seed = from; seed < from + count; seed++) {
    const result = await runSeed(seed);
    if (result.violations.length === 0) continue;
    for (const line of failureLines(result)) say(line);
    say(`found after ${seed - from + 1} seeds`);
    process.exitCode = 1;
    return;
  }
  say(`no promise was broken in ${count} seeds`);
}

async function many(from: number, count: number, workers: number): Promise<void> {
  const report = new Report();
  const startedMs = performance.now();
  let next = from;
  let isInterrupted = false;
  const running = new Set<ChildProcess>();
  process.once('SIGINT', () => {
    isInterrupted = true;
    for (const worker of running) worker.kill();
  });
  let rssBytesMost = 0;
  const take = (result: SeedResult): void => {
    report.add(result);
    if (result.violations.length > 0) for (const line of failureLines(result)) say(line);
    if (report.seeds % TELL_EVERY === 0) say(`${report.seeds} seeds, ${report.failed.length} failed`);
  };
  const runChunks = async (): Promise<void> => {
    while (!isInterrupted && next < from + count) {
      const chunk = { from: next, count: Math.min(SEEDS_A_PROCESS, from + count - next) };
      next += chunk.count;
      const done = inProcess(chunk, { take, running }).catch((error: unknown) => {
        if (!isInterrupted) throw error;
        return 0;
      });
      rssBytesMost = Math.max(rssBytesMost, await done);
    }
  };
  await Promise.all(Array.from({ length: workers }, runChunks));
  for (const line of report.lines()) say(line);
  const tookS = (performance.now() - startedMs) / 1000;
  say(`took ${tookS.toFixed(0)} s with ${workers} processes; the largest had ${(rssBytesMost / 1e6).toFixed(0)} MB`);
  process.exitCode = report.isGood && report.seeds === count ? 0 : 1;
}

/** @returns the most memory that the process had */
function inProcess(
  chunk: { readonly from: number; readonly count: number },
  { take, running }: { readonly take: (result: SeedResult) => void; readonly running: Set<ChildProcess> },
): Promise<number> {
  return new Promise((resolve, reject) => {
    const worker = fork(new URL('./worker.ts', import.meta.url), { execArgv: ['--import', 'tsx'] });
    running.add(worker);
    let rssBytesMost = 0;
    let seen = 0;
    worker.on('message', (message: { readonly result: SeedResult; readonly rssBytes: number }) => {
      seen += 1;
      rssBytesMost = Math.max(rssBytesMost, message.rssBytes);
      take(message.result);
    });
    worker.on('error', reject);
    worker.on('exit', (code) => {
      running.delete(worker);
      if (code === 0 && seen === chunk.count) resolve(rssBytesMost);
      else
        reject(
          new Error(
            `the process of seeds ${chunk.from} to ${chunk.from + chunk.count - 1} ended at seed ${chunk.from + seen} (exit code ${code})`,
          ),
        );
    });
    worker.send(chunk);
  });
}
