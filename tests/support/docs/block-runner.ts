/**
 * Runs the `sh` blocks of the documentation as they stand, in a real shell. What stands in for `npm` and `postern` there
 * asks this: a command that ends by itself is run by the child that keeps the program loaded, the demo and whatever
 * serves a page by a process of its own, which is ended by Ctrl-C when its page of the documentation is done.
 */
import { type ChildProcess, fork, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer, type Server, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { CommandJob, CommandResult } from './command-child.ts';

const CHILD = fileURLToPath(new URL('./command-child.ts', import.meta.url));
const STAND_INS = fileURLToPath(new URL('./bin', import.meta.url));
const MAIN = fileURLToPath(new URL('../../../host/cli/main.ts', import.meta.url));
const TSX = import.meta.resolve('tsx');
const BLOCK_MS_MAX = 600_000;
const READY_MS_MAX = 120_000;

interface Asked {
  readonly words: readonly string[];
  readonly cwd: string;
}

interface Live {
  readonly child: ChildProcess;
  readonly args: readonly string[];
  /** Whose it is. */
  readonly cwd: string;
}

export class BlockRunner {
  readonly #server: Server;
  readonly #folder: string;
  readonly #socketPath: string;
  #child: ChildProcess | undefined;
  #turn: Promise<unknown> = Promise.resolve();
  #live: readonly Live[] = [];

  private constructor(server: Server, folder: string, socketPath: string) {
    this.#server = server;
    this.#folder = folder;
    this.#socketPath = socketPath;
  }

  static async start(): Promise<BlockRunner> {
    const folder = mkdtempSync(join(tmpdir(), 'postern-docs-'));
    const socketPath = join(folder, 'asks');
    const server = createServer({ allowHalfOpen: true });
    const runner = new BlockRunner(server, folder, socketPath);
    server.on('connection', (socket) => void runner.#answer(socket));
    server.listen(socketPath);
    await once(server, 'listening');
    return runner;
  }

  /** @param text  of a block; it ends at its first command that fails */
  async run(text: string, cwd: string): Promise<CommandResult> {
    const { PATH = '', ...env } = process.env;
    const path = [STAND_INS, PATH].join(delimiter);
    const child = spawn('sh', ['-ec', text], {
      cwd,
      env: { ...env, PATH: path, POSTERN_DOCS_SOCKET: this.#socketPath },
      stdio: ['ignore', 'pipe', 'pipe'],
      timeout: BLOCK_MS_MAX,
    });
    return finished(child);
  }

  /** One command, without a shell. */
  command(args: readonly string[], cwd: string): Promise<CommandResult> {
    const done = this.#turn.then(() => this.#inChild({ args, cwd }));
    this.#turn = done.catch(() => undefined);
    return done;
  }

  /** Ctrl-C for all that a folder's blocks have left running, the last started first. @returns what did not end in order */
  async endLive(cwd: string): Promise<readonly string[]> {
    const unwell: string[] = [];
    const mine = this.#live.filter((live) => live.cwd === cwd);
    this.#live = this.#live.filter((live) => live.cwd !== cwd);
    for (const { child, args } of mine.toReversed()) {
      const ended = child.exitCode === null ? once(child, 'exit') : Promise.resolve([child.exitCode]);
      child.kill('SIGINT');
      const [code] = await ended;
      if (code !== 0) unwell.push(`postern ${args.join(' ')}: ended by Ctrl-C with exit code ${code}`);
    }
    return unwell;
  }

  async close(): Promise<void> {
    for (const { cwd } of this.#live) await this.endLive(cwd);
    this.#child?.kill();
    this.#server.close();
    rmSync(this.#folder, { recursive: true, force: true });
  }

  async #answer(socket: Socket): Promise<void> {
    socket.setEncoding('utf8');
    let text = '';
    for await (const chunk of socket.iterator({ destroyOnReturn: false })) text += chunk;
    const asked = JSON.parse(text) as Asked;
    const result = await this.#do(asked).catch((error: unknown) => ({ exitCode: 1, stdout: '', stderr: `${String(error)}\n` }));
    socket.end(JSON.stringify(result));
  }

  #do({ words, cwd }: Asked): Promise<CommandResult> {
    const args = commandIn(words);
    if (!args) return Promise.resolve({ exitCode: 127, stdout: '', stderr: `${words.join(' ')}: nothing that is run here\n` });
    const [name] = args;
    const endsBySelf = args.includes('--exit') || args.includes('--help');
    const servesPage =
      name === 'demo' || name === 'run' || (name === 'replay' && (args.includes('--page') || /--pace (?!max)/.test(args.join(' '))));
    if (servesPage && !args.includes('--help')) return endsBySelf ? finished(ownProcess(args, cwd)) : this.#untilServed(args, cwd);
    return this.command(args, cwd);
  }

  async #untilServed(args: readonly string[], cwd: string): Promise<CommandResult> {
    const child = ownProcess(args, cwd);
    this.#live = [...this.#live, { child, args, cwd }];
    let stdout = '';
    let stderr = '';
    child.stderr?.setEncoding('utf8').on('data', (text: string) => {
      stderr += text;
    });
    // A demo of so many shots is waited for until it has fired them, so that they can be spoken of.
    const shots = args[0] === 'demo' ? /--shots (\d+)/.exec(args.join(' '))?.[1] : undefined;
    const lastShot = shots === undefined ? /^/ : new RegExp(`^Shot ${shots} `, 'm');
    const url = await new Promise<string | undefined>((resolve) => {
      child.stdout?.setEncoding('utf8').on('data', (text: string) => {
        stdout += text;
        const [found] = /http:\/\/127\.0\.0\.1:\d+\//.exec(stdout) ?? [];
        if (found !== undefined && lastShot.test(stdout)) resolve(found);
      });
      child.once('exit', () => resolve(undefined));
    });
    if (url === undefined) return { exitCode: child.exitCode || 1, stdout, stderr };
    if (args[0] === 'demo') await isWell(url);
    return { exitCode: 0, stdout, stderr };
  }

  async #inChild(job: CommandJob): Promise<CommandResult> {
    if (!this.#child || this.#child.exitCode !== null) {
      this.#child = fork(CHILD, [], { execArgv: ['--import', TSX], stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
    }
    const child = this.#child;
    const answered = new Promise<CommandResult>((resolve) => {
      const onEnd = () => resolve({ exitCode: 1, stdout: '', stderr: `the process ended while it ran ${job.args.join(' ')}\n` });
      child.once('exit', onEnd);
      child.once('message', (result: CommandResult) => {
        child.off('exit', onEnd);
        resolve(result);
      });
    });
    child.send(job);
    return answered;
  }
}

/** Of `postern …`, `npm run postern -- …`, `npm run demo -- …`; npm's own `--silent` may stand before the script's name. */
export function commandIn(words: readonly string[]): readonly string[] | undefined {
  const [program, ...rest] = words;
  if (program === 'postern') return rest;
  const [run, script, dashes, ...args] = rest.filter((word, index) => !(word === '--silent' && index < 2));
  if (program !== 'npm' || run !== 'run' || (dashes !== undefined && dashes !== '--')) return undefined;
  if (script === 'postern') return args;
  return script === 'demo' ? ['demo', ...args] : undefined;
}

const ownProcess = (args: readonly string[], cwd: string): ChildProcess =>
  spawn(process.execPath, ['--import', TSX, MAIN, ...args], { cwd, stdio: ['ignore', 'pipe', 'pipe'] });

async function finished(child: ChildProcess): Promise<CommandResult> {
  let stdout = '';
  let stderr = '';
  child.stdout?.setEncoding('utf8').on('data', (text: string) => {
    stdout += text;
  });
  child.stderr?.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  const [code] = (await once(child, 'close')) as [number | null];
  return { exitCode: code ?? -1, stdout, stderr };
}

/** Every link is running. */
async function isWell(url: string): Promise<void> {
  const deadlineMs = performance.now() + READY_MS_MAX;
  for (;;) {
    const answer = await fetch(new URL('/healthz', url)).then((response) => response.json() as Promise<{ readonly status: string }>);
    if (answer.status === 'ok') return;
    if (performance.now() > deadlineMs) throw new Error(`the demo at ${url} is still ${answer.status} after ${READY_MS_MAX / 1000} s`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}
