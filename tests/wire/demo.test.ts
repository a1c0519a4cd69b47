/** The whole of it, as a user runs it: the demo's own process, a real pseudo-terminal, the real serial binding. */
import { readdirSync, readFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { postern, RunningCommand, scratchFolder } from '../support/command.ts';
import { known } from '../support/known.ts';

const velocity = z.object({ velocityMps: z.number().positive(), standardUncertaintyMps: z.number().positive() });
const value = z.object({ value: z.number().positive(), standardUncertainty: z.number().positive() });
/** The promised shape of `--json`; more keys may stand beside these. */
const resultSchema = z.object({
  session: z.string(),
  shots: z.array(
    z.object({
      id: z.string(),
      firedAt: z.iso.datetime(),
      pairs: z.array(velocity.extend({ name: z.string() })),
      muzzle: velocity,
      target: velocity,
      mach: value,
      air: z.object({
        temperatureK: z.number(),
        pressurePa: z.number(),
        relativeHumidity: z.number(),
        speedOfSoundMps: z.number(),
        densityKgM3: z.number(),
        origin: z.enum(['measured', 'assumed']),
      }),
      reservoirPressurePa: z.number(),
      barrelPressurePa: z.number(),
      flags: z.array(z.string()),
      truth: z.object({ muzzleVelocityMps: z.number(), targetVelocityMps: z.number(), reservoirPressurePa: z.number() }),
    }),
  ),
});

let scratch: ReturnType<typeof scratchFolder>;
let running: RunningCommand[] = [];
/** As it runs from a clone; all else in these tests runs as it is built. */
const startFromSources = (...args: readonly string[]): RunningCommand => {
  const command = new RunningCommand(args, 'sources');
  running.push(command);
  return command;
};

beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(async () => {
  await Promise.all(running.map((command) => command.kill()));
  running = [];
  scratch.remove();
});

describe('postern demo', () => {
  test('three shots, measured where their uncertainty says; replay, store and shots agree to the last digit', {
    timeout: 120_000,
  }, async () => {
    const out = join(scratch.path, 'out.json');
    const data = join(scratch.path, 'data');
    const args = ['--shots', '3', '--exit', '--pace', 'fast', '--seed', '7', '--json', out, '--data', data, '--port', '0'];
    const demo = await postern('demo', ...args);
    expect(demo.stderr).toBe('');
    expect(demo.exitCode).toBe(0);
    const text = readFileSync(out, 'utf8');
    const result = resultSchema.parse(JSON.parse(text));
    expect(result.shots).toHaveLength(3);
    for (const shot of result.shots) {
      expectTrue(shot);
      expect([shot.air.origin, shot.flags]).toEqual(['measured', []]);
      expect(shot.pairs.map((pair) => pair.name)).toEqual(['A', 'B']);
    }

    const measured = withoutTruth(text);
    const journal = join(data, 'journals', `${result.session}.mcap`);
    const replayed = await postern('replay', journal, '--pace', 'max', '--json');
    expect(replayed.exitCode).toBe(0);
    expect(JSON.parse(replayed.stdout)).toEqual(measured);

    const stored = await postern('shots', '--data', data, '--json');
    expect(JSON.parse(stored.stdout)).toEqual({ shots: [...measured.shots].reverse() });
    const table = await postern('shots', '--data', data);
    expect(table.stdout).toContain(result.shots[0]?.id);
    const id = known(result.shots[0]).id;
    expectGates((await postern('shots', id, '--data', data)).stdout);
    const budget = await postern('shots', id, '--of', 'pair-B', '--json', '--data', data);
    expect(JSON.parse(budget.stdout)).toMatchObject({
      shot: id,
      of: 'pair-B',
      result: { unit: 'm/s', budget: expect.arrayContaining([expect.objectContaining({ input: 'gate B1 position' })]) },
    });
    const refused = await postern('shots', id, '--of', 'pair-Z', '--data', data);
    expect(refused).toMatchObject({
      exitCode: 1,
      stdout: '',
      stderr: expect.stringMatching(/has no pair-Z.*it has muzzle, .*pair-B\.\n$/),
    });
  });

  test('the wire is pulled around the firing and put back: no shot is lost', { timeout: 120_000 }, async () => {
    const out = join(scratch.path, 'out.json');
    const data = join(scratch.path, 'data');
    const args = [
      '--shots',
      '2',
      '--exit',
      '--pace',
      'fast',
      '--seed',
      '3',
      '--faults',
      'unplug',
      '--json',
      out,
      '--data',
      data,
      '--port',
      '0',
    ];
    const demo = await postern('demo', ...args);
    expect(demo.exitCode).toBe(0);
    const result = resultSchema.parse(JSON.parse(readFileSync(out, 'utf8')));
    expect(result.shots).toHaveLength(2);
    for (const shot of result.shots) expectTrue(shot);
  });

  test('a bad line now and then: counted, shown, and every shot is whole', { timeout: 120_000 }, async () => {
    const data = join(scratch.path, 'data');
    const out = join(scratch.path, 'out.json');
    const faults = ['corrupt', 'drop', 'truncate', 'duplicate', 'garbage'];
    const demo = await postern(
      'demo',
      '--shots',
      '2',
      '--exit',
      '--pace',
      'fast',
      '--seed',
      '5',
      '--faults',
      ...faults,
      '--json',
      out,
      '--data',
      data,
      '--port',
      '0',
    );
    expect(demo.exitCode).toBe(0);
    const result = resultSchema.parse(JSON.parse(readFileSync(out, 'utf8')));
    for (const shot of result.shots) expectTrue(shot);
  });

  test('Ctrl-C ends it with the journal closed; a taken port is told and the next one used', { timeout: 60_000 }, async () => {
    const blocker = createServer().listen(0, '127.0.0.1');
    await new Promise((resolve) => blocker.once('listening', resolve));
    const address = blocker.address();
    const port = typeof address === 'object' && address ? address.port : 0;
    const data = join(scratch.path, 'data');
    const demo = startFromSources('demo', '--shots', '1', '--pace', 'fast', '--seed', '7', '--data', data, '--port', String(port));
    const [, url] = await demo.says(/Watch it at (http:\/\/127\.0\.0\.1:\d+\/)/);
    // Signs of life between the link's opening and the first shot.
    await demo.says(/is running at.*\nBoard gate-board is CS-GB-01\n.*Clock of board gate-board is fitted.*\nShot 1 /s);
    const served = (await (await fetch(new URL('api/shots', url))).json()) as readonly { readonly id: string }[];
    expect(served).toHaveLength(1);
    // While the host holds the store, `shots` asks the host.
    const asked = await postern('shots', '--data', data, '--json');
    expect(asked.exitCode).toBe(0);
    expect((JSON.parse(asked.stdout) as { readonly shots: readonly { readonly id: string }[] }).shots[0]?.id).toBe(served[0]?.id);
    expectGates((await postern('shots', known(served[0]).id, '--data', data)).stdout);
    demo.interrupt();
    const ended = await demo.finished();
    blocker.close();
    expect(ended.exitCode).toBe(0);
    expect(ended.stderr).toContain(`Port ${port} is taken`);
    expect(new URL(url as string).port).not.toBe(String(port));
    const [journal] = readdirSync(join(data, 'journals'));
    // A closed journal ends with MCAP's magic bytes.
    const bytes = readFileSync(join(data, 'journals', journal as string));
    expect(bytes.subarray(-8).toString('hex')).toBe('894d434150300d0a');
  });
});

interface Measured {
  readonly session: string;
  readonly shots: readonly unknown[];
}

function withoutTruth(text: string): Measured {
  return JSON.parse(text, (key, held: unknown) => (key === 'truth' ? undefined : held)) as Measured;
}

/** Each gate with its place, its passage, its residual, and as a share of its uncertainty. */
function expectGates(told: string): void {
  for (const [gate, place] of [
    ['A1', '1.500'],
    ['A2', '2.500'],
    ['B1', '9.000'],
    ['B2', '10.000'],
  ] as const)
    expect(told).toMatch(new RegExp(`^${gate} +${place} m +used +[0-9.]+ ms +[+−]?[0-9.]+ µs +[+−]?[0-9.]+ `, 'm'));
  expect(told).not.toContain('is not in the store');
}

/** One shot in 16,000 lies further out. */
function expectTrue({ muzzle, target, truth }: z.infer<typeof resultSchema>['shots'][number]): void {
  expect(Math.abs(muzzle.velocityMps - truth.muzzleVelocityMps)).toBeLessThan(4 * muzzle.standardUncertaintyMps);
  expect(Math.abs(target.velocityMps - truth.targetVelocityMps)).toBeLessThan(4 * target.standardUncertaintyMps);
}
