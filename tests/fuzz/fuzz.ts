/**
 * `npm run fuzz -- [--minutes N] [--target NAME] [--seed N]`: every target for its share of the time, each in a process of
 * its own, watched from outside. What does harm is written to tests/fuzz/found/, to be mended and moved to the corpus.
 */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { type FuzzReport, runTarget } from './run-target.ts';
import { TARGETS } from './targets/index.ts';

/** A hang is for ever; a busy machine is only slow, most of all where it has the whole program to load. */
const SILENT_MS_MAX = 60_000;
const LOADED_MS_MAX = 300_000;
const FOUND = new URL('./found/', import.meta.url);

const { values } = parseArgs({
  options: {
    minutes: { type: 'string', default: '2' },
    target: { type: 'string' },
    seed: { type: 'string' },
    'for-ms': { type: 'string' },
  },
});
const seed = Number(values.seed ?? Math.floor(Math.random() * 2 ** 31));

if (values['for-ms'] !== undefined) await feedOne(values.target ?? '', Number(values['for-ms']));
else process.exitCode = await feedAll(Number(values.minutes));

/** In the child: one target, telling the parent where it is. */
async function feedOne(name: string, forMs: number): Promise<void> {
  const target = TARGETS.find((one) => one.name === name);
  if (!target) throw new Error(`no target ${name}`);
  const report = await runTarget(target, { seed, forMs, onInput: (run) => process.send?.({ run }) });
  await target.close?.();
  process.send?.({ report });
  process.disconnect?.();
}

async function feedAll(minutes: number): Promise<number> {
  const targets = TARGETS.filter(({ name }) => values.target === undefined || name === values.target);
  const forMs = (minutes * 60_000) / targets.length;
  console.info(`seed ${seed}, ${(forMs / 1000).toFixed(0)} s a target`);
  let failures = 0;
  for (const { name } of targets) failures += (await watch(name, forMs)) ? 0 : 1;
  return failures === 0 ? 0 : 1;
}

async function watch(name: string, forMs: number): Promise<boolean> {
  const args = ['--target', name, '--for-ms', String(forMs), '--seed', String(seed)];
  const child = fork(fileURLToPath(import.meta.url), args, { execArgv: ['--import', 'tsx'] });
  let [run, heardMs]: [number, number] = [0, performance.now()];
  let isLoaded = false;
  let report: FuzzReport | undefined;
  child.on('message', (message: { readonly run?: number; readonly report?: FuzzReport }) => {
    heardMs = performance.now();
    isLoaded = true;
    run = message.run ?? run;
    report = message.report ?? report;
  });
  const watching = setInterval(() => {
    if (performance.now() - heardMs > (isLoaded ? SILENT_MS_MAX : LOADED_MS_MAX)) child.kill('SIGKILL');
  }, 1_000);
  const [exitCode, signal] = (await once(child, 'exit')) as [number | null, string | null];
  clearInterval(watching);
  if (!report) {
    console.info(`${name}: ${signal === 'SIGKILL' ? 'HANGS at' : `ENDED (${exitCode ?? signal}) at`} input ${run} of seed ${seed}`);
    return false;
  }
  const [warm, end] = report.heapBytes.map((bytes) => (bytes / 2 ** 20).toFixed(1));
  console.info(`${name}: ${report.runs} inputs, slowest ${report.slowestMs.toFixed(0)} ms, heap ${warm} to ${end} MB`);
  keep(`${name}-slowest`, { did: `took ${report.slowestMs.toFixed(0)} ms`, input: report.slowest });
  if (!report.failure) return true;
  console.info(`${name}: FALLS over ${keep(name, { did: report.failure.error, input: report.failure.input })}`);
  console.info(report.failure.error);
  return false;
}

function keep(name: string, what: object): string {
  mkdirSync(FOUND, { recursive: true });
  const file = new URL(`${name}-${seed}.json`, FOUND);
  writeFileSync(file, `${JSON.stringify(what, undefined, 2)}\n`);
  return fileURLToPath(file);
}
