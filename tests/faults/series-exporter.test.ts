/** What the sender keeps of its own: how far it came, through restarts and long outages, and a secret that is nowhere else. */
import { copyFileSync, mkdirSync, readdirSync, readFileSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Exporter } from '../../host/cli/series/exporter.ts';
import { DELIVERY_PORTS } from '../../host/cli/series/lane.ts';
import { PositionFile, positionPath, readPositions } from '../../host/cli/series/position-file.ts';
import { placeText, type SeriesServer } from '../../host/series/index.ts';
import { RunningCommand, scratchFolder } from '../support/command.ts';
import { expectedLines } from '../support/series/expected-lines.ts';
import { type StandIn, standIn, TAKEN } from '../support/series/stand-in.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const SECRET = 'Zq9-hidden-Zq9';
let server: StandIn;
let folder: ReturnType<typeof scratchFolder>;
let journals: string;

beforeEach(async () => {
  server = await standIn();
  folder = scratchFolder();
  journals = join(folder.path, 'journals');
  mkdirSync(journals);
});
afterEach(async () => {
  await server.close();
  folder.remove();
});

const target = (): SeriesServer => ({ kind: 'influxdb-1', url: server.url, database: 'range', tags: {} });
const journal = async (sessionId: string, seed: number): Promise<string> => {
  const path = join(journals, `${sessionId}.mcap`);
  await writeVirtualJournal(path, { seed, shots: 1, sessionId });
  return path;
};
const distinct = (lines: readonly string[]): readonly string[] => [...new Set(lines)].sort();
/** Time is short: waits pass at once, and count. */
function swift() {
  let nowMs = 0;
  return {
    ...DELIVERY_PORTS,
    nowMs: () => {
      nowMs += 0.1;
      return nowMs;
    },
    wait: async (ms: number, signal: AbortSignal) => {
      if (ms > 1_000_000) return DELIVERY_PORTS.wait(ms, signal);
      nowMs += ms;
      await DELIVERY_PORTS.wait(1, signal);
    },
  };
}
const exporter = (options: { readonly live?: { sessionId: string; isOver: () => boolean } } = {}) =>
  new Exporter({ server: target(), root: folder.path, journals, ports: swift(), ...options });
const asLive = (sessionId: string) => ({ live: { sessionId, isOver: () => true } });
const never = new AbortController().signal;

describe('the sender', () => {
  it('that is killed in mid-session goes on where it was', async () => {
    const path = await journal('one', 1);
    const lines = expectedLines(path, 'influxdb-1');
    const bytes = statSync(path).size;
    // The session so far, and then all of it.
    copyFileSync(path, join(folder.path, 'whole'));
    truncateSync(path, Math.floor(bytes / 2));
    const stop = new AbortController();
    const first = exporter({ live: { sessionId: 'one', isOver: () => false } });
    const running = first.run(stop.signal);
    while (server.taken.length < lines.length / 4) await DELIVERY_PORTS.wait(10, never);
    stop.abort();
    await running;
    const before = server.taken.length;
    copyFileSync(join(folder.path, 'whole'), path);
    await exporter(asLive('one')).run(never);
    expect(distinct(server.taken)).toEqual(distinct(lines));
    expect(before).toBeGreaterThan(0);
    expect(readPositions(positionPath(folder.path, placeText(target())))?.sessions.one?.taken).toBeGreaterThan(100);
  });

  it('sends what was recorded while the server was gone, and nothing of before it was named', async () => {
    server.answer = () => 'cut';
    const paths = [await journal('monday', 2), await journal('tuesday', 3)];
    for (const session of ['monday', 'tuesday']) {
      const gone = new AbortController();
      const running = exporter(asLive(session)).run(gone.signal);
      while (!server.asked.some(({ lines }) => lines.some((line) => line.includes(`session="${session}"`))))
        await DELIVERY_PORTS.wait(10, never);
      gone.abort();
      await running;
    }
    expect(server.taken).toEqual([]);
    server.answer = () => TAKEN;
    await exporter().run(never);
    const wanted = paths.flatMap((path) => expectedLines(path, 'influxdb-1'));
    expect(distinct(server.taken)).toEqual(distinct(wanted));
    const old = new PositionFile(folder.path, 'elsewhere', Date.now());
    expect(old.sinceUtcMs).toBeGreaterThan(Date.UTC(2026, 2, 2, 10));
  });

  it('sends a journal that a crash has torn, and takes a damaged file of positions for none', async () => {
    const path = await journal('torn', 4);
    truncateSync(path, statSync(path).size - 1_234);
    mkdirSync(join(folder.path, 'series'));
    writeFileSync(positionPath(folder.path, placeText(target())), '{"version":1,"sessions":{"torn":');
    await exporter(asLive('torn')).run(never);
    expect(distinct(server.taken)).toEqual(distinct(expectedLines(path, 'influxdb-1')));
  });
});

describe('a session whose server never answers', () => {
  const names = ['KIND', 'URL', 'ORG', 'BUCKET', 'TOKEN'].map((name) => `POSTERN_SERIES_${name}`);
  afterEach(() => {
    for (const name of names) delete process.env[name];
  });

  it('is measured as ever, and its token stands in nothing that it leaves behind', async () => {
    server.answer = ({ headers }) => (server.asked.length % 2 === 0 ? 'silent' : { status: 401, body: `who is ${headers.authorization}?` });
    for (const [i, value] of ['influxdb-2', server.url, 'cold-sike', 'range', SECRET].entries()) process.env[names[i] as string] = value;
    const data = join(folder.path, 'data');
    const demo = new RunningCommand(['demo', '--shots', '1', '--pace', 'fast', '--port', '0', '--data', data]);
    try {
      await demo.says(/^Shot 1 /m);
      // The sender is a process of its own, and begins when it can.
      await demo.warns(/it does not let us write/);
    } catch (error) {
      await demo.kill();
      throw error;
    }
    demo.interrupt();
    const { exitCode, stdout, stderr } = await demo.finished();
    expect(exitCode).toBe(0);
    expect(stdout).toMatch(/^Shot 1 .*muzzle \d+\.\d+ m\/s/m);
    expect(server.asked.some(({ headers }) => headers.authorization === `Token ${SECRET}`)).toBe(true);
    const left = readdirSync(data, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
    expect(left.length).toBeGreaterThan(2);
    for (const { parentPath, name } of left) expect([name, readFileSync(join(parentPath, name)).includes(SECRET)]).toEqual([name, false]);
    expect(`${stdout}${stderr}`).not.toContain(SECRET);
  });
});
