/** The simulated range as a child process: the host opens its wires as it opens hardware and never sees its truth. */
import { type ChildProcess, fork, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { CommandError, messageOf } from '../output.ts';
import { programBeside } from '../program-beside.ts';

const PROGRAM = programBeside('../../../firmware-sim/main', import.meta.url).path;
const READY_MS_MAX = 20_000;
const FAULTS_MS_MAX = 10_000;
const ANNOTATED_MS_MAX = 10_000;
const STOPPED_MS_MAX = 5_000;

export interface SimulatedRangeOptions {
  readonly wiresDir: string;
  readonly truthFile: string;
  /** Where the range shall write the rig file that fits it. */
  readonly rigFile: string;
  readonly seed: number;
  readonly pace: 'real' | 'fast';
  readonly shots: number | undefined;
  readonly faults: readonly string[];
  /** The rig file's targets, or from gentle to hard; left out: the targets. */
  readonly fills?: 'target' | 'spread';
  /** Balls are dropped through pair A, and nothing is fired. */
  readonly drop?: boolean;
  /** The gate board: simulated, or the flashable one's own program. */
  readonly board?: 'simulated' | 'avr';
  /** Range seconds for each second; left out: real time, where the machine can. */
  readonly rate?: number;
  /** Told when the range has fallen so far behind its clock. */
  readonly onBehind?: (seconds: number) => void;
}

/** The program that is started; tests put one in its place that never answers. */
export interface RangeProgram {
  readonly path: string;
  readonly readyMsMax: number;
}

/** The range's clock: range seconds for each second on the wall, since when. */
export interface RangeTimeScale {
  readonly rate: number;
  readonly beganUtcMs: number;
}

export class SimulatedRange {
  readonly #child: ChildProcess;
  #time: RangeTimeScale = { rate: 1, beganUtcMs: 0 };
  #stopping = false;

  private constructor(child: ChildProcess) {
    this.#child = child;
  }

  get time(): RangeTimeScale {
    return this.#time;
  }

  /** What `--faults` may name, a line each; the range alone knows. Empty where it cannot be asked. */
  static faultLines(): string {
    const asked = spawnSync(process.execPath, [...process.execArgv, PROGRAM, '--list-faults'], {
      encoding: 'utf8',
      timeout: FAULTS_MS_MAX,
    });
    return asked.status === 0 ? asked.stdout.trimEnd() : '';
  }

  /**
   * Resolves when the boards' ports and the rig file are there. Where that fails no process is left behind.
   * @throws CommandError with exit code 2 where the range refuses its arguments, else 1
   */
  static async start(
    options: SimulatedRangeOptions,
    onLost: () => void,
    program: RangeProgram = { path: PROGRAM, readyMsMax: READY_MS_MAX },
  ): Promise<SimulatedRange> {
    const { wiresDir, truthFile, rigFile, seed, pace, shots, faults, fills, drop, board, rate, onBehind } = options;
    const args = ['--wires', wiresDir, '--truth', truthFile, '--rig', rigFile, '--seed', String(seed), '--pace', pace];
    if (shots !== undefined) args.push('--shots', String(shots));
    if (faults.length > 0) args.push('--faults', faults.join(','));
    if (fills !== undefined) args.push('--fills', fills);
    if (drop) args.push('--drop');
    if (board !== undefined) args.push('--board', board);
    if (rate !== undefined) args.push('--rate', String(rate));
    const child = fork(program.path, args, { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
    const range = new SimulatedRange(child);
    try {
      const { time } = (await range.#answer('ready', program.readyMsMax)) as { readonly time?: RangeTimeScale };
      if (time) range.#time = time;
    } catch (error) {
      await range.#kill();
      throw error;
    }
    child.on('error', () => undefined);
    child.on('message', (message: { readonly type?: string; readonly seconds?: number }) => {
      if (message.type === 'behind') onBehind?.(message.seconds ?? Number.NaN);
    });
    child.on('exit', () => {
      if (!range.#stopping) onLost();
    });
    if (range.#hasEnded) onLost();
    return range;
  }

  /** Has the range add its truth to a result file. */
  async annotate(file: string): Promise<void> {
    if (!this.#child.connected) throw new CommandError(`The simulated range has ended: its truth is not in ${file}.`);
    const answered = this.#answer('annotated', ANNOTATED_MS_MAX);
    this.#send({ type: 'annotate', file });
    await answered;
  }

  async stop(): Promise<void> {
    this.#stopping = true;
    if (this.#hasEnded) return;
    const ended = once(this.#child, 'exit');
    this.#send({ type: 'stop' });
    const killer = setTimeout(() => this.#child.kill('SIGKILL'), STOPPED_MS_MAX);
    await ended;
    clearTimeout(killer);
  }

  get #hasEnded(): boolean {
    return this.#child.exitCode !== null || this.#child.signalCode !== null;
  }

  async #kill(): Promise<void> {
    // Without a pid it never began.
    if (this.#hasEnded || this.#child.pid === undefined) return;
    const ended = once(this.#child, 'exit');
    this.#child.kill('SIGKILL');
    await ended;
  }

  /** A range that can no longer be told is about to exit, and whoever waits for its answer hears of that. */
  #send(message: object): void {
    if (this.#child.connected) this.#child.send(message, () => undefined);
  }

  /** @returns the message, whole */
  async #answer(type: string, timeoutMs: number): Promise<object> {
    return new Promise<object>((resolve, reject) => {
      const settle = (answer: Error | object) => {
        clearTimeout(timer);
        this.#child.off('message', onMessage);
        this.#child.off('exit', onExit);
        this.#child.off('error', onError);
        if (answer instanceof Error) reject(answer);
        else resolve(answer);
      };
      const onMessage = (message: unknown) => {
        const said = message as { readonly type?: string; readonly message?: string };
        if (said.type === type) settle(said);
        if (said.type === 'problem') settle(new CommandError(said.message ?? 'The simulated range reports a problem.', 2));
      };
      const onExit = () => settle(new CommandError('The simulated range ended before it answered; what it said stands above.'));
      const onError = (error: Error) => settle(new CommandError(`The simulated range cannot be run: ${messageOf(error)}`));
      const timer = setTimeout(
        () => settle(new CommandError(`The simulated range did not answer within ${timeoutMs / 1000} s.`)),
        timeoutMs,
      );
      this.#child.on('message', onMessage);
      this.#child.on('exit', onExit);
      this.#child.on('error', onError);
    });
  }
}
