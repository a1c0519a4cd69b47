/** The simulated range as a child process: the host opens its wires as it opens hardware and never sees its truth. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { CommandError } from './output.ts';

const PROGRAM = fileURLToPath(new URL('../../firmware-sim/main.ts', import.meta.url));
const READY_MS_MAX = 20_000;

export interface SimulatedRangeOptions {
  readonly wiresDir: string;
  readonly truthFile: string;
  readonly seed: number;
  readonly pace: 'real' | 'fast';
  readonly shots: number | undefined;
  readonly faults: readonly string[];
}

export class SimulatedRange {
  readonly #child: ChildProcess;
  #stopping = false;

  private constructor(child: ChildProcess) {
    this.#child = child;
  }

  /** Resolves when the board's port is there. */
  static async start(options: SimulatedRangeOptions, onLost: () => void): Promise<SimulatedRange> {
    const { wiresDir, truthFile, seed, pace, shots, faults } = options;
    const args = ['--wires', wiresDir, '--truth', truthFile, '--seed', String(seed), '--pace', pace];
    if (shots !== undefined) args.push('--shots', String(shots));
    if (faults.length > 0) args.push('--faults', faults.join(','));
    const child = fork(PROGRAM, args, { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
    const range = new SimulatedRange(child);
    await range.#answer('ready', READY_MS_MAX);
    child.on('exit', () => {
      if (!range.#stopping) onLost();
    });
    return range;
  }

  /** Has the range add its truth to a result file. */
  async annotate(file: string): Promise<void> {
    const answered = this.#answer('annotated', 10_000);
    this.#child.send({ type: 'annotate', file });
    await answered;
  }

  async stop(): Promise<void> {
    this.#stopping = true;
    if (this.#child.exitCode !== null || this.#child.signalCode !== null) return;
    const ended = once(this.#child, 'exit');
    if (this.#child.connected) this.#child.send({ type: 'stop' });
    const killer = setTimeout(() => this.#child.kill('SIGKILL'), 5_000);
    await ended;
    clearTimeout(killer);
  }

  async #answer(type: string, timeoutMs: number): Promise<void> {
    await new Promise<void>((resolve, reject) => {
      const settle = (error?: Error) => {
        clearTimeout(timer);
        this.#child.off('message', onMessage);
        this.#child.off('exit', onExit);
        if (error) reject(error);
        else resolve();
      };
      const onMessage = (message: unknown) => {
        const said = message as { readonly type?: string; readonly message?: string };
        if (said.type === type) settle();
        if (said.type === 'problem') settle(new CommandError(said.message ?? 'The simulated range reports a problem.', 2));
      };
      const onExit = () => settle(new CommandError('The simulated range ended before it was ready; what it said stands above.'));
      const timer = setTimeout(
        () => settle(new CommandError(`The simulated range did not answer within ${timeoutMs / 1000} s.`)),
        timeoutMs,
      );
      this.#child.on('message', onMessage);
      this.#child.on('exit', onExit);
    });
  }
}
