/** `postern demo --board avr` as a user runs it: the flashable program's serial unit on a real pseudo-terminal, the host's own serial binding. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { postern, scratchFolder } from '../support/command.ts';

let scratch: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(() => scratch.remove());

interface Measured {
  readonly shots: readonly {
    readonly muzzle: { readonly velocityMps: number; readonly standardUncertaintyMps: number };
    readonly reservoirPressurePa: number;
    readonly flags: readonly string[];
    readonly truth: { readonly muzzleVelocityMps: number; readonly reservoirPressurePa: number };
  }[];
}

// Slowed, so that a machine with other work keeps up with it: host and range go by one clock, and the numbers are the same.
test('a shot at half of real time, measured where its uncertainty says; the budget has what the board’s stamps are good for', async () => {
  const [out, data] = [join(scratch.path, 'out.json'), join(scratch.path, 'data')];
  const args = ['--board', 'avr', '--rate', '0.5', '--pace', 'fast', '--shots', '1', '--exit', '--seed', '7'];
  const demo = await postern('demo', ...args, '--json', out, '--data', data, '--port', '0');
  expect(demo.exitCode).toBe(0);
  expect(demo.stdout).toContain('As asked: range and host go at 0.5 of it.');
  expect(demo.stdout).toContain('Board gate-board is CS-GB-01');
  const [shot] = (JSON.parse(readFileSync(out, 'utf8')) as Measured).shots;
  if (!shot) throw new Error('no shot');
  const { muzzle, truth } = shot;
  // One shot in 16,000 lies further out.
  expect(Math.abs(muzzle.velocityMps - truth.muzzleVelocityMps)).toBeLessThan(4 * muzzle.standardUncertaintyMps);
  // A few counts of ten bits.
  expect(Math.abs(shot.reservoirPressurePa - truth.reservoirPressurePa)).toBeLessThan(50e3);
  expect(shot.flags).not.toContain('software-timed');
  const shown = await postern('shots', '1', '--budget', '--data', data);
  expect(shown.stdout).toMatch(/gate A1 stamp delay/);
});

test('what cannot be is told in one sentence', async () => {
  expect(await postern('demo', '--board', 'esp')).toMatchObject({ exitCode: 1, stderr: expect.stringContaining('simulated, avr') });
  expect(await postern('demo', '--rate', '2')).toMatchObject({
    exitCode: 1,
    stderr: expect.stringContaining('Give a number from 0.05 to 1.'),
  });
});
