/** A disk that takes no more of the journal: every part is closed all the same, and nothing false is said. */
import { spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { CloseStack } from '../../host/cli/close-stack.ts';
import { openDataFolder } from '../../host/cli/data/data-folder.ts';
import { type LiveSession, openLiveSession } from '../../host/cli/live/live-session.ts';
import { CommandError } from '../../host/cli/output.ts';
import { type JournalFile, JournalWriter } from '../../host/journal/index.ts';
import { Store } from '../../host/store/index.ts';
import { RunningCommand, scratchFolder } from '../support/command.ts';
import { readOpenMetrics } from '../support/open-metrics.ts';

const HERON = new URL('../../firmware-sim/heron.yaml', import.meta.url);

let scratch: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(() => scratch.remove());

class Disk implements JournalFile {
  isFull = false;
  isClosed = false;

  write(bytes: Uint8Array): number {
    if (this.isFull) throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' });
    return bytes.length;
  }

  async datasync(): Promise<void> {}

  close(): void {
    this.isClosed = true;
  }
}

function openOn(disk: JournalFile): Promise<LiveSession> {
  const rigFile = join(scratch.path, 'heron.yaml');
  copyFileSync(HERON, rigFile);
  return openLiveSession({
    rigFile,
    folder: openDataFolder(join(scratch.path, 'data')),
    port: 0,
    onEvent: () => undefined,
    createJournal: (_path, head, ports) => JournalWriter.over(disk, head, ports),
  });
}

async function healthOf({ url }: LiveSession): Promise<readonly [number, unknown]> {
  const answer = await fetch(new URL('healthz', url));
  return [answer.status, await answer.json()];
}

/** The last sample of each family. */
async function metricsOf({ url }: LiveSession): Promise<Readonly<Record<string, number | undefined>>> {
  const text = await (await fetch(new URL('metrics', url))).text();
  return Object.fromEntries(readOpenMetrics(text).map(({ name, samples }) => [name, samples.at(-1)?.value]));
}

describe('a live session on a full disk', () => {
  test('closes store, page and journal file, and rejects with the reason', async () => {
    const disk = new Disk();
    const session = await openOn(disk);
    session.start();
    expect((await fetch(new URL('api/health', session.url))).ok).toBe(true);
    expect(await healthOf(session)).toEqual([200, expect.objectContaining({ status: 'degraded', linksUp: [] })]);
    disk.isFull = true;
    await expect.poll(() => healthOf(session)).toEqual([503, expect.objectContaining({ status: 'failing' })]);
    await expect(metricsOf(session)).resolves.toMatchObject({ postern_journal_writing: 0, postern_limits_active: 0, postern_shots: 0 });
    await expect(session.close()).rejects.toThrow(/journal .* is not whole .*ENOSPC/);
    await expect(session.close()).rejects.toThrow(CommandError);
    expect(disk.isClosed).toBe(true);
    await expect(fetch(new URL('api/health', session.url))).rejects.toThrow();
    const folder = openDataFolder(join(scratch.path, 'data'));
    expect(existsSync(folder.hostFile)).toBe(false);
    // Would be refused while the session still held it.
    const store = await Store.open(folder.store);
    expect((await store.sessions()).map(({ id }) => id)).toEqual([session.sessionId]);
    await store.close();
  });

  test('claims a whole journal only while it is one', async () => {
    const disk = new Disk();
    const session = await openOn(disk);
    expect(session.lastWords()).toContain('holds every record up to now');
    disk.isFull = true;
    await expect(session.close()).rejects.toThrow();
    expect(session.lastWords()).toMatch(/had not taken all of the journal \(.*ENOSPC/);
    expect(session.lastWords()).not.toContain('holds every record');
  });
});

describe('the close stack', () => {
  test('closes all, the last first, and reports the first failure', async () => {
    const closed: string[] = [];
    const parts = new CloseStack();
    parts.add(() => void closed.push('store'));
    parts.add(async () => {
      closed.push('journal');
      throw new CommandError('disk full', 3);
    });
    parts.add(() => void closed.push('links'));
    await expect(parts.close()).rejects.toMatchObject({ message: 'disk full', exitCode: 3 });
    expect(closed).toEqual(['links', 'journal', 'store']);
    await expect(parts.close()).rejects.toThrow('disk full');
    expect(closed).toHaveLength(3);
    expect(() => parts.add(() => undefined)).toThrow(/while closing/);
  });

  test('loses none of several failures', async () => {
    const parts = new CloseStack();
    for (const name of ['second', 'first']) {
      parts.add(() => {
        throw new Error(name);
      });
    }
    expect(await parts.closeAfter(new CommandError('why it began', 2))).toMatchObject({
      message: 'why it began\nfirst\nsecond',
      exitCode: 2,
    });
  });
});

// The system's own limit on file size stands in for a full disk; a running process gets one by util-linux's prlimit.
const hasPrlimit = spawnSync('prlimit', ['--version']).status === 0;

test.skipIf(!hasPrlimit)(
  'the whole demo ends by itself, with its result, exit code 1 and no claim (needs prlimit)',
  {
    timeout: 60_000,
  },
  async () => {
    const data = join(scratch.path, 'data');
    const out = join(scratch.path, 'out.json');
    mkdirSync(data);
    const options = ['--pace', 'fast', '--seed', '7', '--data', data, '--port', '0', '--json', out];
    const demo = new RunningCommand(['demo', '--shots', '1', '--exit', ...options]);
    try {
      await demo.says(/is running at/);
      const limit = spawnSync('prlimit', ['--pid', String(demo.pid), '--fsize=4096']);
      expect(limit.status).toBe(0);
      const ended = await demo.finished();
      expect(ended.exitCode).toBe(1);
      expect(ended.stderr).toMatch(/The journal cannot be written \(EFBIG/);
      expect(ended.stderr).toMatch(/is not whole .*EFBIG/);
      expect(ended.stderr).not.toMatch(/^\s+at /m);
      expect(ended.stdout).not.toContain('closed, shots');
      // Too small for the beginning of a further part, too: none is left behind.
      expect(readdirSync(join(data, 'journals'))).toHaveLength(1);
      expect(existsSync(out)).toBe(true);
      expect(existsSync(join(data, 'simulated', 'wires', 'gate-board'))).toBe(false);
      expect(existsSync(join(data, 'host.json'))).toBe(false);
    } finally {
      await demo.kill();
    }
  },
);
