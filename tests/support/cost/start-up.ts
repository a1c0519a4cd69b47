/** How long a command takes, from its being asked for until it has ended, or until it says what it was waited for. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));
const PATIENCE_MS = 60_000;

/** @param until  ends it once it has said that; left out, it is waited for. @returns ms */
export async function startUpMs(args: readonly string[], until?: RegExp): Promise<number> {
  const began = performance.now();
  const child = spawn(process.execPath, [...args], { cwd: ROOT, stdio: ['ignore', 'pipe', 'pipe'], timeout: PATIENCE_MS });
  const ended = once(child, 'exit');
  if (until === undefined) {
    child.stdout.resume();
    child.stderr.resume();
    const [code] = await ended;
    // 1 says that what it looked at is not in order, such as a rig whose boards are not plugged in.
    if (code !== 0 && code !== 1) throw new Error(`${args.join(' ')} ended with ${code}`);
    return performance.now() - began;
  }
  child.stderr.resume();
  let said = '';
  const heard = new Promise<number>((resolve) => {
    child.stdout.setEncoding('utf8').on('data', (piece: string) => {
      if (said.length < 10_000) said += piece;
      if (until.test(said)) resolve(performance.now() - began);
    });
  });
  const ms = await Promise.race([
    heard,
    ended.then(() => {
      throw new Error(`${args.join(' ')} has ended:\n${said}`);
    }),
  ]);
  child.kill('SIGTERM');
  await ended;
  return ms;
}
