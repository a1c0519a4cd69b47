/** The crew's commands against a session that runs: what they print, what they change, what is in the journal afterwards. */
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { calibrate, zero } from '../../host/cli/operator/adjust.ts';
import type { Asker } from '../../host/cli/operator/ask.ts';
import { targetPoint } from '../../host/cli/operator/values.ts';
import type { SnapshotMessage } from '../../protocol/index.ts';
import { postern, RunningCommand, scratchFolder } from '../support/command.ts';
import { AIR, BARREL_AT_AIR, type CrewHost, startCrewHost } from '../support/crew-host.ts';
import { firstReading } from '../support/first-reading.ts';
import { known } from '../support/known.ts';

let scratch: ReturnType<typeof scratchFolder>;
let host: CrewHost | undefined;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(async () => {
  await host?.close();
  host = undefined;
  scratch.remove();
});

/** Answers in turn, and fails where it is asked more. */
function answering(...answers: readonly string[]): Asker & { readonly asked: string[] } {
  const asked: string[] = [];
  return {
    asked,
    ask: async (question) => {
      const answer = answers[asked.length];
      asked.push(question);
      if (answer === undefined) throw new Error(`asked once more: ${question}`);
      return answer;
    },
    close: () => undefined,
  };
}

const crew = (): CrewHost => known(host);
const acts = () => crew().records.flatMap((record) => (record.kind === 'operator' ? [record.value] : []));
const run = (...args: readonly string[]) => postern(...args, '--data', scratch.path);

describe('zero', () => {
  test('sets an open gauge to the measured pressure of the air, after a name and a yes', async () => {
    host = await startCrewHost(scratch.path);
    host.feed(5, { ...AIR, A0: BARREL_AT_AIR });
    const asker = answering('Ane', 'y');
    await zero('barrelPressure', { data: scratch.path, yes: false }, asker);
    expect(acts()).toMatchObject([
      { act: 'zero', channel: 'barrelPressure', shouldReadSi: AIR.pressure, who: 'Ane', before: { gain: 1, offsetSi: 0 } },
    ]);
    host.feed(1, { ...AIR, A0: BARREL_AT_AIR });
    const samples = host.events.findLast((event) => event.type === 'samples' && event.channel === 'barrelPressure');
    expect(samples?.type === 'samples' && samples.valuesSi[0]).toBeCloseTo(AIR.pressure, 6);
    // A second one, from where the first has brought it.
    await zero('barrelPressure', { data: scratch.path, by: 'Bo', yes: true, reads: '98.3 kPa absolute' }, answering());
    host.feed(1, { ...AIR, A0: BARREL_AT_AIR });
    const later = host.events.findLast((event) => event.type === 'samples' && event.channel === 'barrelPressure');
    expect(later?.type === 'samples' && later.valuesSi[0]).toBeCloseTo(98_300, 6);
  });

  test('changes nothing on a no, on a moving gauge, a far one, a silent one, and where nobody knows what it should read', async () => {
    host = await startCrewHost(scratch.path);
    const options = { data: scratch.path, by: 'Ane', yes: true };
    await expect(zero('barrelPressure', options, answering())).rejects.toThrow(/nothing has come from barrelPressure/);
    host.feed(5, { ...AIR, A0: BARREL_AT_AIR });
    await expect(zero('barrelPressure', { ...options, yes: false }, answering('n'))).rejects.toThrow('Nothing was changed.');
    await expect(zero('airTemperature', options, answering())).rejects.toThrow(/--reads/);
    await expect(zero('barrelPressure', { ...options, reads: '98 kPa' }, answering())).rejects.toThrow(/gauge or absolute/);
    await expect(zero('barrelPressure', { ...options, reads: '60 kPa absolute' }, answering())).rejects.toThrow(/at most 12 kPa/);
    await expect(zero('barrelpressure', options, answering())).rejects.toThrow(/no channel barrelpressure/);
    host.feed(1, { ...AIR, A0: BARREL_AT_AIR - 200 });
    await expect(zero('barrelPressure', options, answering())).rejects.toThrow(/is moving/);
    expect(acts()).toEqual([]);
  });
});

describe('calibrate', () => {
  test('goes from point to point, and the channel reads right at both afterwards', async () => {
    host = await startCrewHost(scratch.path);
    const asker = answering('', '0.01 bar absolute', '', '100 kPa absolute', 'Ane', 'yes');
    const feeding: Asker = {
      ...asker,
      ask: (question) => {
        if (/first/.test(question)) crew().feed(3, { ...AIR, A0: 600 });
        if (/second/.test(question)) crew().feed(20, { ...AIR, A0: BARREL_AT_AIR });
        return asker.ask(question);
      },
    };
    await calibrate('barrelPressure', { data: scratch.path, yes: false }, feeding);
    expect(acts()).toMatchObject([{ act: 'calibrate', channel: 'barrelPressure', who: 'Ane' }]);
    const reads = (counts: number): number => {
      crew().feed(1, { ...AIR, A0: counts });
      const event = crew().events.findLast((each) => each.type === 'samples' && each.channel === 'barrelPressure');
      return event?.type === 'samples' ? known(event.valuesSi[0]) : Number.NaN;
    };
    expect(reads(600)).toBeCloseTo(1000, 6);
    expect(reads(BARREL_AT_AIR)).toBeCloseTo(100_000, 6);
    expect(host.events.filter(({ type }) => type === 'act-refused')).toEqual([]);
  });

  test('refuses points that are too near, and a slipped unit', async () => {
    host = await startCrewHost(scratch.path);
    host.feed(5, { ...AIR, A0: BARREL_AT_AIR });
    const options = { data: scratch.path, by: 'Ane', yes: true };
    const near = ['1 kPa absolute=1.1 kPa absolute', '2 kPa absolute=2 kPa absolute'];
    await expect(calibrate('barrelPressure', { ...options, point: near }, answering())).rejects.toThrow(/at least 6 kPa apart/);
    const slipped = ['1 kPa absolute=1 bar absolute', '100 kPa absolute=100 bar absolute'];
    await expect(calibrate('barrelPressure', { ...options, point: slipped }, answering())).rejects.toThrow(
      /check the units, and which point is which/,
    );
    await expect(calibrate('barrelPressure', { ...options, point: near.slice(1) }, answering())).rejects.toThrow(/exactly twice/);
    expect(acts()).toEqual([]);
  });
});

test('holds says HOLD until every point is done, by its exit code too; ticks are by name', { timeout: 120_000 }, async () => {
  host = await startCrewHost(scratch.path);
  const list = await run('holds');
  expect(list).toMatchObject({ exitCode: 1, stderr: '' });
  expect(list.stdout).toMatch(/HOLD, missing: Sighting tool out of the bore, Fill settled, .*no interlock/);
  expect(await run('tick', 'hold-1', '--by', 'Ane')).toMatchObject({ exitCode: 0, stdout: 'hold-1 is ticked.\n' });
  const ticked = await run('holds');
  expect(ticked.stdout).toMatch(/done\s+hold-1\s+Sighting tool out of the bore\s+Ane, 09:30:00 UTC/);
  expect(ticked.stdout).toMatch(/HOLD, missing: Fill settled, /);
  expect(await run('untick', 'hold-1', '--by', 'Bo')).toMatchObject({ exitCode: 0 });
  expect(await run('tick', 'settled', '--by', 'Ane')).toMatchObject({
    exitCode: 1,
    stderr: expect.stringMatching(/^Not done: .*settled.*\n$/),
  });
  expect(acts()).toMatchObject([{ done: true, who: 'Ane' }, { done: false, who: 'Bo' }, { holdPointId: 'settled' }]);
});

test('notes, aim, impacts and exclusions by hand; each refusal is one sentence', { timeout: 120_000 }, async () => {
  host = await startCrewHost(scratch.path);
  expect(await run('note', 'film changed')).toMatchObject({ exitCode: 0, stdout: 'Noted.\n' });
  expect(await run('aim', '12 mm', '-5 mm', '--by', 'Ane')).toMatchObject({ exitCode: 0 });
  expect(acts()[1]).toEqual({ act: 'aim', at: { rightM: 0.012, upM: -0.005 }, who: 'Ane' });
  const refused = [
    await run('impact', '3', '12 mm left', '0.2 in down', '--by', 'Ane'),
    await run('exclude', '3', '--because', 'film torn', '--by', 'Ane'),
    await run('acknowledge', 'no-such', '--by', 'Ane'),
    await run('tick', 'hold-1', '--by', 'A'.repeat(50)),
    await run('zero', 'airTemperature', '--reads', '12 C'),
  ];
  for (const { exitCode, stderr } of refused) {
    expect(exitCode).toBeGreaterThan(0);
    expect(stderr).toMatch(/^[^\n]+\.\n$/);
  }
  expect(refused[2]?.stderr).toMatch(/no limit no-such; those of this rig are rated-pressure, .*near-maximum-fill, limit-2, limit-3/);
  expect(acts()[2]).toEqual({
    act: 'impact',
    shotId: 'cs-crew-003',
    at: { rightM: -0.012, upM: expect.closeTo(-0.00508, 12) },
    who: 'Ane',
  });
});

test('acknowledge lists what waits for it, and takes an id from that list', { timeout: 120_000 }, async () => {
  host = await startCrewHost(scratch.path);
  expect(await run('acknowledge')).toMatchObject({ exitCode: 0, stdout: 'No alarm or warning waits to be acknowledged.\n' });
  // Far below the limit of 200 Pa.
  host.feed(3, { ...AIR, A0: 412 });
  const waiting = await run('acknowledge');
  expect(waiting.stdout).toMatch(/^limit-3 +alarm +now +09:30:0\d UTC +barrelPressure is below 200 Pa/m);
  expect(await run('acknowledge', 'limit-3')).toMatchObject({ exitCode: 2, stderr: expect.stringMatching(/add --by and a name/) });
  expect(await run('acknowledge', 'limit-3', '--by', 'Ane')).toMatchObject({ exitCode: 0, stdout: 'limit-3 is acknowledged.\n' });
  expect((await run('acknowledge')).stdout).toMatch(/^No alarm/);
  expect(await run('tick', 'nothing', '--by', 'Ane')).toMatchObject({
    stderr: expect.stringMatching(/no hold point nothing; those of this rig are hold-1, settled/),
  });
  expect(await run('zero', 'airpressure', '--by', 'Ane')).toMatchObject({
    stderr: expect.stringMatching(/no channel airpressure; those of this rig are .*airPressure/),
  });
});

test('a place on the target is right and up, however it is written', () => {
  expect(targetPoint('12 mm left', '5 mm down')).toEqual(targetPoint('-12 mm', '-5 mm'));
  expect(targetPoint('1 in right', '0 mm down')).toEqual({ rightM: 0.0254, upM: 0 });
  for (const text of ['12', '12 mm up', 'left 12 mm', '12 mm ± 1 mm', '12 kg', ''])
    expect(() => targetPoint(text, '0 mm'), text).toThrow(/no distance right or left/);
});

test('without a session, and with one that has gone, one sentence says so', { timeout: 60_000 }, async () => {
  expect(await run('holds')).toMatchObject({ exitCode: 1, stderr: expect.stringMatching(/^No session is running in .*\n$/) });
  const gone = { pid: 1, url: 'http://127.0.0.1:9/', sessionId: 'cs-gone', token: 'x' };
  writeFileSync(join(scratch.path, 'host.json'), JSON.stringify(gone));
  expect(await run('holds')).toMatchObject({ exitCode: 1, stderr: expect.stringMatching(/^The session in .* does not answer.*\n$/) });
});

test('of a demo: the token is on the terminal once and in a file of its owner’s, and nowhere else', { timeout: 120_000 }, async () => {
  // A file of an earlier version that everyone may read must not become the token's.
  writeFileSync(join(scratch.path, 'host.json'), '{}', { mode: 0o644 });
  const demo = new RunningCommand(['demo', '--pace', 'fast', '--seed', '7', '--data', scratch.path, '--port', '0']);
  try {
    const [, url = '', token = ''] = await demo.says(/open (http:\/\/127\.0\.0\.1:\d+\/)#token=([\w-]{43}) /);
    await demo.says(/Clock of board gate-board is fitted/);
    await firstReading(url, 'airTemperature');
    expect(statSync(join(scratch.path, 'host.json')).mode & 0o777).toBe(0o600);
    expect(await run('note', 'film changed', '--by', 'Ane')).toMatchObject({ exitCode: 0 });
    const shown = await (await fetch(new URL('api/channels/airTemperature', url))).json();
    expect(shown).toMatchObject({ channel: 'airTemperature', unit: 'K', adjustment: { gain: 1, offsetSi: 0 } });
    expect(await run('zero', 'airTemperature', '--reads', '10 °C', '--by', 'Ane', '--yes')).toMatchObject({ exitCode: 0, stderr: '' });
    const snapshot = (await (await fetch(new URL('api/state', url))).json()) as SnapshotMessage;
    expect(snapshot.adjusted).toMatchObject([{ channel: 'airTemperature', who: 'Ane' }]);
    expect(snapshot.notes.map(({ text }) => text)).toContain('film changed');
    expect(JSON.stringify(snapshot)).not.toContain(token);
    demo.interrupt();
    const { stdout, stderr } = await demo.finished();
    expect((stdout + stderr).split(token)).toHaveLength(2);
    const [name = ''] = readdirSync(join(scratch.path, 'journals'));
    const journal = readFileSync(join(scratch.path, 'journals', name));
    expect(journal.includes(token)).toBe(false);
    const again = await postern('replay', join(scratch.path, 'journals', name), '--pace', 'max');
    expect(again.stdout).toContain('Note by Ane: film changed');
    expect(again.stdout + again.stderr).not.toContain('Not done');
  } finally {
    await demo.kill();
  }
});
