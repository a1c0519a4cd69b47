/** Runs `postern` as a user does: a process of its own, its output read. */
import { type ChildProcessByStdio, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { buildProgram } from './built-program.ts';
import { ROOT } from './kept-build.ts';

/** `sources`: as from a clone, by `tsx`; `built`: as from the package, and twice as soon. */
export type CommandFrom = 'built' | 'sources';

const PROGRAM: Readonly<Record<CommandFrom, () => readonly string[]>> = {
  built: () => [join(buildProgram(), 'host/cli/main.js')],
  sources: () => ['--import', 'tsx', 'host/cli/main.ts'],
};

export interface Finished {
  readonly exitCode: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export class RunningCommand {
  readonly #child: ChildProcessByStdio<null, Readable, Readable>;
  #stdout = '';
  #stderr = '';
  readonly #ended: Promise<unknown>;

  constructor(args: readonly string[], from: CommandFrom = 'built') {
    this.#child = spawn(process.execPath, [...PROGRAM[from](), ...args], {
      cwd: ROOT,
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.#child.stdout.setEncoding('utf8').on('data', (text: string) => {
      this.#stdout += text;
    });
    this.#child.stderr.setEncoding('utf8').on('data', (text: string) => {
      this.#stderr += text;
    });
    this.#ended = once(this.#child, 'close');
  }

  /** Waits for text on standard output. */
  says(pattern: RegExp, timeoutMs = 30_000): Promise<RegExpExecArray> {
    return this.#tells(this.#child.stdout, () => pattern.exec(this.#stdout), pattern, timeoutMs);
  }

  /** Waits for text on standard error. */
  warns(pattern: RegExp, timeoutMs = 30_000): Promise<RegExpExecArray> {
    return this.#tells(this.#child.stderr, () => pattern.exec(this.#stderr), pattern, timeoutMs);
  }

  async #tells(stream: Readable, find: () => RegExpExecArray | null, pattern: RegExp, timeoutMs: number): Promise<RegExpExecArray> {
    const deadline = AbortSignal.timeout(timeoutMs);
    for (;;) {
      const found = find();
      if (found) return found;
      if (this.#child.exitCode !== null || this.#child.signalCode !== null)
        throw new Error(`ended without saying ${pattern}:\n${this.#stdout}\n${this.#stderr}`);
      await Promise.race([
        once(stream, 'data', { signal: deadline }).catch(() => {
          throw new Error(`did not say ${pattern} within ${timeoutMs} ms:\n${this.#stdout}\n${this.#stderr}`);
        }),
        this.#ended,
      ]);
    }
  }

  get pid(): number {
    const { pid } = this.#child;
    if (pid === undefined) throw new Error('the command did not start');
    return pid;
  }

  /** As `| head` does. */
  stopReading(): void {
    this.#child.stdout.destroy();
  }

  interrupt(): void {
    this.signal('SIGINT');
  }

  signal(name: NodeJS.Signals): void {
    this.#child.kill(name);
  }

  /** Only for what must not run on when a test fails. */
  async kill(): Promise<void> {
    if (this.#child.exitCode === null && this.#child.signalCode === null) this.#child.kill('SIGKILL');
    await this.#ended;
  }

  async finished(): Promise<Finished> {
    await this.#ended;
    return { exitCode: this.#child.exitCode, stdout: this.#stdout, stderr: this.#stderr };
  }
}

export const postern = (...args: readonly string[]): Promise<Finished> => new RunningCommand(args).finished();

/** A folder for one test's data; `remove` when done. */
export function scratchFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'postern-test-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}
