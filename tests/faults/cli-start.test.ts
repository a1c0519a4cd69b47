/** What cannot start says so in one sentence and ends: nothing is left running that keeps the process, or another one, alive. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { SimulatedRange } from '../../host/cli/demo/simulated-range.ts';
import { type Finished, RunningCommand, scratchFolder } from '../support/command.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const RANGE_PROGRAM = join(ROOT, 'firmware-sim', 'main.ts');
/** Far below the two minutes that a demo waits for a shot. */
const LIMIT = { timeout: 45_000 };

let scratch: ReturnType<typeof scratchFolder>;
let running: RunningCommand[] = [];
let pids: number[] = [];
let data: string;
beforeEach(() => {
  scratch = scratchFolder();
  data = join(scratch.path, 'data');
  mkdirSync(join(data, 'journals'), { recursive: true });
});
afterEach(async () => {
  await Promise.all(running.map((command) => command.kill()));
  for (const pid of pids) if (isAlive(pid)) process.kill(pid, 'SIGKILL');
  running = [];
  pids = [];
  scratch.remove();
});

/** Ends by itself, or the test's own limit does it. */
function postern(...args: readonly string[]): Promise<Finished> {
  const command = new RunningCommand(args);
  running.push(command);
  return command.finished();
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}

function heron(): string {
  const rigFile = join(scratch.path, 'heron.yaml');
  copyFileSync(join(ROOT, 'firmware-sim', 'heron.yaml'), rigFile);
  return rigFile;
}

const oneLine = (pattern: RegExp) => new RegExp(`^${pattern.source}[^\\n]*\\n$`);

describe('a session that cannot be opened ends the process', () => {
  // Nobody can make a file there, not even root.
  test.skipIf(!existsSync('/proc'))('journals folder that takes no file (needs /proc)', LIMIT, async () => {
    rmSync(join(data, 'journals'), { recursive: true });
    symlinkSync('/proc', join(data, 'journals'));
    const ended = await postern('run', heron(), '--data', data, '--port', '0');
    expect(ended).toMatchObject({ exitCode: 1, stderr: expect.stringMatching(oneLine(/The journal .*\.mcap cannot be made: E/)) });
    expect(existsSync(join(data, 'host.json'))).toBe(false);
  });

  test('host.json is a folder: no journal is begun, and the folder stays', LIMIT, async () => {
    mkdirSync(join(data, 'host.json'));
    const ended = await postern('run', heron(), '--data', data, '--port', '0');
    expect(ended).toMatchObject({ exitCode: 1, stderr: expect.stringMatching(oneLine(/.*host\.json cannot be written: EISDIR/)) });
    expect(readdirSync(join(data, 'journals'))).toEqual([]);
    expect(existsSync(join(data, 'host.json'))).toBe(true);
  });

  test('the same under the demo: its range ends too', LIMIT, async () => {
    mkdirSync(join(data, 'host.json'));
    const ended = await postern('demo', '--pace', 'fast', '--data', data, '--port', '0');
    expect(ended).toMatchObject({ exitCode: 1, stderr: expect.stringMatching(oneLine(/.*host\.json cannot be written: EISDIR/)) });
    // The range takes its wire away when it ends in order.
    expect(existsSync(join(data, 'simulated', 'wires', 'gate-board'))).toBe(false);
  });

  test('the data folder is a file', LIMIT, async () => {
    const file = join(scratch.path, 'file');
    writeFileSync(file, '');
    const ended = await postern('run', heron(), '--data', file, '--port', '0');
    expect(ended).toMatchObject({ exitCode: 1, stderr: expect.stringMatching(oneLine(/The data folder .*file cannot be used: /)) });
  });
});

describe('the simulated range', () => {
  test('a fault that there is not: told at once, exit code 2, nothing unhandled', LIMIT, async () => {
    const ended = await postern('demo', '--shots', '1', '--exit', '--faults', 'nonsense', '--data', data, '--port', '0');
    expect(ended).toMatchObject({ exitCode: 2, stderr: expect.stringMatching(oneLine(/--faults nonsense: no such fault; there are /)) });
  });

  test('one that never gets ready is ended, not left behind', LIMIT, async () => {
    const program = join(scratch.path, 'silent.mjs');
    const pidFile = join(scratch.path, 'pid');
    writeFileSync(
      program,
      `import { writeFileSync } from 'node:fs';
       process.on('message', () => undefined);
       writeFileSync(${JSON.stringify(pidFile)}, String(process.pid));`,
    );
    const options = {
      wiresDir: scratch.path,
      truthFile: join(scratch.path, 'truth'),
      rigFile: join(scratch.path, 'heron.yaml'),
      seed: 1,
      pace: 'fast',
      shots: 1,
      faults: [],
    } as const;
    let lost = 0;
    const starting = SimulatedRange.start(options, () => lost++, { path: program, readyMsMax: 3_000 });
    await expect(starting).rejects.toThrow('did not answer within 3 s');
    const pid = Number(readFileSync(pidFile, 'utf8'));
    pids.push(pid);
    expect(pid).toBeGreaterThan(0);
    expect(isAlive(pid)).toBe(false);
    expect(lost).toBe(0);
  });

  test('ends when its parent was killed before it could listen', LIMIT, async () => {
    const program = join(scratch.path, 'parent.mjs');
    const args = ['--wires', scratch.path, '--pace', 'fast'];
    writeFileSync(
      program,
      `import { fork } from 'node:child_process';
       const options = { execArgv: ['--import', 'tsx'], stdio: ['ignore', 'inherit', 'inherit', 'ipc'] };
       const child = fork(${JSON.stringify(RANGE_PROGRAM)}, ${JSON.stringify(args)}, options);
       process.stdout.write(child.pid + '\\n');
       process.kill(process.pid, 'SIGKILL');`,
    );
    const parent = spawn(process.execPath, [program], { cwd: ROOT, stdio: ['ignore', 'pipe', 'pipe'] });
    let said = '';
    parent.stdout.setEncoding('utf8').on('data', (text: string) => {
      said += text;
      const pid = Number(said.split('\n', 1)[0]);
      if (said.includes('\n') && !pids.includes(pid)) pids.push(pid);
    });
    let trouble = '';
    parent.stderr.setEncoding('utf8').on('data', (text: string) => {
      trouble += text;
    });
    // The range holds the same pipe: it closes when both are gone.
    await once(parent, 'close');
    expect(parent.signalCode).toBe('SIGKILL');
    expect(pids).toHaveLength(1);
    expect(trouble).toBe('');
    expect(existsSync(join(scratch.path, 'gate-board'))).toBe(false);
  });
});
