/**
 * Runs one `postern` command after the other in one process, which spares each the seconds that it takes to load the
 * program: `host/cli/main.ts` is run anew for each, what it imports stays. A command has ended when nothing keeps the
 * process alive any more. Tests that prove how a process starts and ends run processes (`tests/support/command.ts`).
 */
import { fileURLToPath, pathToFileURL } from 'node:url';

export interface CommandJob {
  readonly args: readonly string[];
  readonly cwd: string;
}

export interface CommandResult {
  readonly exitCode: number;
  readonly stdout: string;
  readonly stderr: string;
}

const MAIN = pathToFileURL(fileURLToPath(new URL('../../../host/cli/main.ts', import.meta.url))).href;

class Exited extends Error {}

let running = 0;
let output = { stdout: '', stderr: '' };
let exitedWith: number | undefined;
let isRunning = false;

for (const name of ['stdout', 'stderr'] as const) {
  const stream = process[name];
  stream.setMaxListeners(0);
  stream.write = ((chunk: string | Uint8Array, encoding?: unknown, told?: unknown): boolean => {
    if (exitedWith === undefined) output = { ...output, [name]: output[name] + Buffer.from(chunk as Uint8Array).toString('utf8') };
    const done = typeof encoding === 'function' ? encoding : told;
    if (typeof done === 'function') process.nextTick(done as () => void);
    return true;
  }) as typeof stream.write;
}

process.exit = ((code?: number) => {
  exitedWith ??= Number(code ?? process.exitCode ?? 0);
  throw new Exited('exited');
}) as typeof process.exit;

process.on('message', ({ args, cwd }: CommandJob) => {
  isRunning = true;
  running += 1;
  output = { stdout: '', stderr: '' };
  exitedWith = undefined;
  process.exitCode = 0;
  process.chdir(cwd);
  process.argv = [process.execPath, 'postern', ...args];
  // From here on only the command keeps this process alive.
  process.channel?.unref();
  import(`${MAIN}?run=${running}`).catch((error: unknown) => {
    if (!(error instanceof Exited)) output = { ...output, stderr: `${output.stderr}${String(error)}\n` };
    process.exitCode ||= 1;
  });
});

process.on('beforeExit', () => {
  if (!isRunning) return;
  isRunning = false;
  process.channel?.ref();
  const result: CommandResult = { exitCode: exitedWith ?? Number(process.exitCode ?? 0), ...output };
  process.send?.(result);
});
