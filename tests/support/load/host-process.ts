/** A host in a process of its own, and what it costs by the system's books. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { HostHealth } from '../../../host/serve/index.ts';
import { readOpenMetrics } from '../open-metrics.ts';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));
/** In /proc, whatever the kernel's own tick, proc(5). */
const TICKS_PER_S = 100;
const READY_MS_MAX = 60_000;

export interface HostCost {
  readonly cpuS: number;
  readonly residentBytes: number;
}

export class HostProcess {
  readonly url: string;
  readonly journal: string;
  readonly #child: ChildProcess;
  readonly #ended: Promise<unknown>;

  static async start(rigFile: string, data: string, viewersMax: number): Promise<HostProcess> {
    // Where its processor time goes is asked of Node itself: `-- --cpu-prof`.
    const profile = process.argv.includes('--cpu-prof') ? ['--cpu-prof', `--cpu-prof-dir=${join(ROOT, 'postern-data')}`] : [];
    const main = ['--import', 'tsx', 'host/cli/main.ts', 'run', rigFile, '--data', data, '--port', '0', '--viewers', String(viewersMax)];
    const child = spawn(process.execPath, [...profile, ...main], { cwd: ROOT, stdio: ['ignore', 'pipe', 'inherit'] });
    let text = '';
    const said = new Promise<readonly [string, string]>((done, reject) => {
      child.stdout?.setEncoding('utf8').on('data', (piece: string) => {
        if (text.length < 10_000) text += piece;
        const url = /watch it at (\S+)/.exec(text)?.[1];
        const journal = /Journal (\S+)\. /.exec(text)?.[1];
        if (url !== undefined && journal !== undefined) done([url, journal]);
      });
      child.once('exit', () => reject(new Error(`the host has ended:\n${text}`)));
    });
    return new HostProcess(child, await said);
  }

  private constructor(child: ChildProcess, [url, journal]: readonly [string, string]) {
    this.#child = child;
    this.#ended = once(child, 'exit');
    this.url = url;
    this.journal = resolve(ROOT, journal);
  }

  /** Resolves once every link runs and `clocks` clocks are fitted. */
  async isReady(clocks: number): Promise<void> {
    const deadlineMs = performance.now() + READY_MS_MAX;
    while (performance.now() < deadlineMs) {
      const { linksDown, linksUp } = (await (await fetch(new URL('healthz', this.url))).json()) as HostHealth;
      const fitted = (await this.metric('postern_clock_uncertainty_seconds')).length;
      if (linksUp.length > 0 && linksDown.length === 0 && fitted >= clocks) return;
      await new Promise((done) => setTimeout(done, 250));
    }
    throw new Error('the host did not get all of its links to run');
  }

  /** The samples of one family. */
  async metric(name: string): Promise<readonly number[]> {
    const text = await (await fetch(new URL('metrics', this.url))).text();
    return (
      readOpenMetrics(text)
        .find((family) => family.name === name)
        ?.samples.map(({ value }) => value) ?? []
    );
  }

  /** @throws Error where the system has no such books */
  cost(): HostCost {
    const of = (file: string): string => readFileSync(`/proc/${this.#child.pid}/${file}`, 'utf8');
    // After the name in parentheses, which may hold anything: field 3 is the first, 14 and 15 are user and system time.
    const fields = of('stat')
      .replace(/^.*\) /s, '')
      .split(' ');
    const residentKiB = Number(/^VmRSS:\s+(\d+) kB/m.exec(of('status'))?.[1]);
    return { cpuS: (Number(fields[11]) + Number(fields[12])) / TICKS_PER_S, residentBytes: 1024 * residentKiB };
  }

  /** Asks it to end, as a supervisor does. @returns its exit code */
  async end(): Promise<number | null> {
    this.#child.kill('SIGTERM');
    await this.#ended;
    return this.#child.exitCode;
  }
}
