/** `postern map` and `postern next` over a store, as a user runs them. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { askedSpanPa, askedValue } from '../../host/cli/map/asked-values.ts';
import { Store } from '../../host/store/index.ts';
import type { MapKind, PipelineEvent, Shot } from '../../protocol/index.ts';
import { campaignSources, SESSIONS } from '../support/campaigns/map-sources.ts';
import { postern, scratchFolder } from '../support/command.ts';
import { fakeShot } from '../support/fake-shot.ts';

const folder = scratchFolder();
const SOURCES = campaignSources(21, (number) => (number === 5 ? 1.06 : 1));

beforeAll(async () => {
  const [session] = SESSIONS;
  if (!session) throw new Error('no session');
  const store = await Store.open(join(folder.path, 'store.duckdb'));
  const opened: PipelineEvent = {
    type: 'session',
    atNs: 0,
    sessionId: session.id,
    openedAt: '2031-05-04T09:00:00.000000Z',
    softwareVersion: 'test',
    rig: session.rig,
  };
  const shots = SOURCES.map(
    ({ muzzleVelocityMps, reservoirPressurePa, barrelPressurePa, reservoirTemperatureK, air, ...source }, i): PipelineEvent => {
      const plain = fakeShot({ number: i + 1, sessionId: source.sessionId, traces: false });
      const latched = (of: { readonly value: number; readonly standardUncertainty: number } | undefined, unit: string) => ({
        ...(of ?? { value: 0, standardUncertainty: 0 }),
        unit,
        ageS: 0.01,
        origin: 'measured' as const,
      });
      const shot: Shot = {
        ...plain,
        ...source,
        muzzleVelocityMps: { ...(plain.muzzleVelocityMps as NonNullable<Shot['muzzleVelocityMps']>), ...muzzleVelocityMps },
        reservoirPressurePa: latched(reservoirPressurePa, 'Pa'),
        barrelPressurePa: latched(barrelPressurePa, 'Pa'),
        reservoirTemperatureK: latched(reservoirTemperatureK, 'K'),
        air: { ...plain.air, temperatureK: latched(air.temperatureK, 'K'), pressurePa: latched(air.pressurePa, 'Pa') },
      } as Shot;
      return { type: 'shot', phase: 'closed', atNs: i, shot };
    },
  );
  store.apply(session.id, [opened, ...shots]);
  await store.flush();
  expect(await store.mapShots()).toEqual(SOURCES);
  await store.close();
});
afterAll(() => folder.remove());

const run = (...args: readonly string[]) => postern(...args, '--data', folder.path);

it('prints every shot against the others, names the one that is off, draws, and gives all of it as JSON', async () => {
  const svg = join(folder.path, 'map.svg');
  const { exitCode, stdout, stderr } = await run('map', '--svg', svg);
  expect([exitCode, stderr]).toEqual([0, '']);
  expect(stdout.match(/^campaign-0\d\d /gm)).toHaveLength(12);
  expect(stdout).toMatch(
    /^Shot campaign-005: 6\.\d % faster than the other shots give.*It is left out of the map\. Before the next shot look at the projectile/m,
  );
  const drawn = readFileSync(svg, 'utf8');
  expect(drawn).toMatch(/^<svg .*<title [^>]*>Heron, polyamide ball 60 mm<\/title>/);
  for (const words of ['Fill, absolute, MPa', 'Muzzle velocity, m/s', 'left out, see the table']) expect(drawn).toContain(words);
});

it('answers for a velocity with a fill below the maximum', async () => {
  const { exitCode, stdout } = await run('map', '--for', '350 m/s', '--barrel', '5 kPa absolute');
  expect(exitCode).toBe(0);
  expect(stdout).toMatch(/^For 350\.0 m\/s: fill 0\.\d{4} MPa gauge, 95 % between 0\.\d{4} and 0\.\d{4}/m);
});

it('refuses with exit code 1 and what would help', async () => {
  const refused = await run('map', '--for', '550 m/s', '--barrel', '5 kPa absolute');
  expect([refused.exitCode, refused.stdout]).toEqual([1, '']);
  expect(refused.stderr).toMatch(
    /^No fill for 550 m\/s .*What would help: a shot at \d\.\d+ MPa absolute with the barrel at \d\.\d+ kPa\.$/m,
  );
});

it('suggests the next shot as JSON, within the fills that it is given', async () => {
  const { exitCode, stdout } = await run('next', '--json', '--fills', '0.5 MPa gauge to 2 MPa gauge');
  expect(exitCode).toBe(0);
  const { suggestions, ambientPressurePa } = JSON.parse(stdout) as MapKind;
  expect(suggestions.length).toBeGreaterThan(0);
  for (const { reservoirPressurePa } of suggestions) expect(reservoirPressurePa).toBeLessThanOrEqual(2.001e6 + ambientPressurePa);
});

it('what is no velocity or no span is told with how to write it', () => {
  expect(() => askedValue('--for', '350 furlongs', 'speed', '--for "350 m/s"')).toThrow(
    /--for "350 furlongs": .*; write it as --for "350 m\/s"\./,
  );
  const span = (text: string) => () => askedSpanPa('--fills', text, 1e5, '--fills "0.4 MPa gauge to 2 MPa gauge"');
  expect(span('0.4 MPa gauge to 2 MPa gauge')()).toEqual([0.5e6, 2.1e6]);
  for (const wrong of ['2 MPa gauge to 1 MPa gauge', '2 MPa gauge', '1 to 2', '1 MPa to 2 MPa']) expect(span(wrong)).toThrow(/--fills/);
});
