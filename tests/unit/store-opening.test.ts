import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { DuckDBInstance } from '@duckdb/node-api';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Store, StoreDamagedError, StoreLockedError, type StoreProblem, StoreUnusableError } from '../../host/store/index.ts';
import { SCHEMA_VERSION } from '../../host/store/schema.ts';
import { closed, makeShot, samples, temporaryFolder } from './store-fixtures.ts';

const duckdb = createRequire(import.meta.url).resolve('@duckdb/node-api');
/** Opens the database that it is told of, says so, and holds it until its standard input ends. */
const HOLDER = `
  const { DuckDBInstance } = require(${JSON.stringify(duckdb)});
  DuckDBInstance.create(process.argv[1]).then(
    () => { process.stdout.write('open'); process.stdin.resume(); process.stdin.on('end', () => process.exit(0)); },
    (error) => { process.stdout.write(error.message); process.exit(3); },
  );`;

let folder: ReturnType<typeof temporaryFolder>;
let problems: StoreProblem[];
const file = () => `${folder.path}/store.duckdb`;
const open = (options = {}) => Store.open(file(), { onProblem: (problem) => problems.push(problem), ...options });

beforeEach(() => {
  folder = temporaryFolder();
  problems = [];
});
afterEach(() => folder.remove());

async function fill(): Promise<void> {
  const store = await open();
  store.apply(
    's1',
    [1, 2, 3].map((number) => closed(makeShot('s1', number))),
  );
  for (let second = 0; second < 50; second++) store.apply('s1', [samples(second * 1e9, [second, 2 * second])]);
  await store.close();
}

describe('the lock', () => {
  it('of another process gives a plain sentence that names it, and leaves the file alone', async () => {
    await fill();
    const child = spawn(process.execPath, ['-e', HOLDER, file()], { stdio: ['pipe', 'pipe', 'inherit'] });
    try {
      expect(String((await once(child.stdout, 'data'))[0])).toBe('open');
      const error = await open().catch((caught: unknown) => caught);
      expect(error).toBeInstanceOf(StoreLockedError);
      expect(String(error)).toMatch(new RegExp(`store.duckdb is in use by process ${child.pid}: .*end that process`));
      await expect(open({ fresh: true })).rejects.toThrow(StoreLockedError);
      expect(existsSync(`${file()}.set-aside`)).toBe(false);
    } finally {
      child.stdin.end();
      await once(child, 'exit');
    }
    const store = await open();
    expect(await store.shots()).toHaveLength(3);
    await store.close();
  });

  it('of ours keeps another process out, also after a second opening here was refused', async () => {
    const store = await open();
    await expect(open()).rejects.toThrow(StoreLockedError);
    await expect(Store.open(`${folder.path}/../${folder.path.split('/').at(-1)}/store.duckdb`)).rejects.toThrow(StoreLockedError);
    const child = spawnSync(process.execPath, ['-e', HOLDER, file()], { encoding: 'utf8', input: '' });
    expect(child.stdout).toMatch(/lock/);
    expect(child.status).toBe(3);
    await store.close();
    const again = await open();
    await again.close();
  });
});

describe('a file that is of no use', () => {
  const works = async (store: Store) => {
    expect(store.found).toBe('set-aside');
    expect(problems.map(({ code }) => code)).toEqual(['set-aside']);
    expect(problems[0]?.message).toMatch(/set aside as .*store\.duckdb\.set-aside \(.+\).*postern rebuild/);
    expect(await store.shots()).toEqual([]);
    store.apply('s1', [closed(makeShot('s1', 1))]);
    expect(await store.shots()).toHaveLength(1);
    await store.close();
  };

  it.each([
    ['text', 'this is not a database\n'.repeat(1000)],
    ['empty', ''],
    ['short', 'DUCK'],
  ])('%s: is set aside, with a notice, and a new one works', async (_, text) => {
    writeFileSync(file(), text);
    await works(await open());
    expect(readFileSync(`${file()}.set-aside`, 'utf8')).toBe(text);
  });

  it('a log left over without its file is not replayed into the new one', async () => {
    await fill();
    const aside = await open();
    aside.apply('s1', [closed(makeShot('s1', 4))]);
    await aside.flush();
    const log = readFileSync(`${file()}.wal`); // holds the fourth shot
    await aside.close();
    for (const left of [log, Buffer.from('left over')]) {
      rmSync(file());
      writeFileSync(`${file()}.wal`, left);
      const store = await open();
      expect(store.found).toBe('new');
      expect(await store.shots()).toEqual([]);
      await store.close();
    }
  });

  it.each([
    ['older', 'CREATE TABLE meta AS SELECT 0 AS schema_version', `schema is 0, this version needs ${SCHEMA_VERSION}`],
    ['newer', 'CREATE TABLE meta AS SELECT 999 AS schema_version', 'schema is 999'],
    ['of something else', 'CREATE TABLE apples (n INTEGER)', 'schema is not ours'],
    ['half made', `CREATE TABLE meta AS SELECT ${SCHEMA_VERSION} AS schema_version`, 'sessions does not exist'],
  ])('a schema that is %s is set aside', async (_, statement, reason) => {
    const instance = await DuckDBInstance.create(file());
    const connection = await instance.connect();
    await connection.run(statement);
    connection.closeSync();
    instance.closeSync();
    const store = await open();
    expect(problems[0]?.message).toContain(reason);
    await works(store);
  });

  it('the second one set aside takes the place of the first', async () => {
    for (const text of ['first', 'second']) {
      writeFileSync(file(), text);
      await (await open()).close();
    }
    expect(readFileSync(`${file()}.set-aside`, 'utf8')).toBe('second');
  });

  it('a fresh one is made on request', async () => {
    await fill();
    await works(await open({ fresh: true }));
  });

  it('any damaged byte is met at opening or at reading, or does no harm; never is a number wrong', async () => {
    await fill();
    const good = readFileSync(file());
    const before = await open();
    const expected = [await before.shots(), await before.channelSeconds({ sessionId: 's1', channel: 'reservoirPressure' })];
    await before.close();
    const outcomes: string[] = [];
    const damages = fc.oneof(
      fc.record({ from: fc.nat(good.length - 1), length: fc.constantFrom(1, 5000) }),
      fc.record({ from: fc.nat(good.length - 1), length: fc.constant(good.length) }),
    );
    await fc.assert(
      fc.asyncProperty(damages, async ({ from, length }) => {
        const bad = length === good.length ? good.subarray(0, from) : Buffer.from(good);
        if (length < good.length) for (let i = from; i < Math.min(from + length, bad.length); i++) bad[i] = (bad[i] ?? 0) ^ 0x5a;
        writeFileSync(file(), bad);
        const store = await open();
        try {
          if (store.found === 'set-aside') {
            outcomes.push('opening');
            expect(await store.shots()).toEqual([]);
          } else {
            const read = [await store.shots(), await store.channelSeconds({ sessionId: 's1', channel: 'reservoirPressure' })];
            expect(read).toEqual(expected);
            outcomes.push('harmless');
          }
        } catch (error) {
          expect(error).toBeInstanceOf(StoreDamagedError);
          outcomes.push('reading');
        } finally {
          await store.close();
        }
      }),
      { numRuns: 30 },
    );
    expect(outcomes).toContain('opening');
  });
});

describe('surroundings that do not allow a store', () => {
  it('a folder is made where there is none', async () => {
    const store = await Store.open(`${folder.path}/a/b/store.duckdb`);
    expect(store.found).toBe('new');
    await store.close();
  });

  it('a folder in the place of the file, or a file in the place of the folder, is refused and left alone', async () => {
    mkdirSync(file());
    await expect(open()).rejects.toThrow(StoreUnusableError);
    expect(existsSync(`${file()}.set-aside`)).toBe(false);
    writeFileSync(`${folder.path}/plain`, '');
    await expect(Store.open(`${folder.path}/plain/store.duckdb`)).rejects.toThrow(StoreUnusableError);
  });

  it('a place where no file can be made is refused', async () => {
    // Not even root makes a file here.
    await expect(Store.open('/proc/postern-store.duckdb')).rejects.toThrow(/cannot be opened: .*permissions/);
  });
});
