/**
 * A power cut, as near as a machine that stays on can come to it: ext4 on a loop device, shut down by force without
 * writing its log, then mounted again. Needs the right to mount; where that is missing, it says so.
 */
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { isDeepStrictEqual } from 'node:util';
import { readAll, sampleRecord } from '../../faults/journal-samples.ts';

const CHILD = fileURLToPath(new URL('./power-cut-child.ts', import.meta.url));
const DISK_BYTES = 64 * 1024 * 1024;
/** linux/ext4.h: EXT4_IOC_SHUTDOWN, _IOR('X', 125, __u32), with EXT4_GOING_FLAGS_NOLOGFLUSH. Perl is in every Debian. */
const SHUT_DOWN = 'open(my $f, "<", $ARGV[0]) or die "open: $!"; my $how = pack("L", 2); ioctl($f, 0x8004587d, $how) or die "ioctl: $!";';

export interface CutResult {
  readonly cuts: number;
  readonly records: number;
  /** Records below the last sync that were not read again. */
  readonly syncedLost: number;
  /** Records read that are not what was written. */
  readonly wrong: number;
  /** Journals that ended in a torn record. */
  readonly torn: number;
}

function run(command: string, ...args: readonly string[]): string {
  const { status, stderr, error } = spawnSync(command, args, { encoding: 'utf8' });
  if (error) return `${command}: ${error.message}`;
  return status === 0 ? '' : `${command}: ${stderr.trim()}`;
}

/** A file system of its own, in a temporary folder; everything is taken away by `remove`. */
class LoopDisk {
  readonly #folder = mkdtempSync(join(tmpdir(), 'postern-loop-'));
  readonly folder = join(this.#folder, 'disk');
  readonly #image = join(this.#folder, 'disk.img');
  #isMounted = false;

  /** @returns why it cannot be had; empty where it can */
  make(): string {
    mkdirSync(this.folder);
    writeFileSync(this.#image, '');
    truncateSync(this.#image, DISK_BYTES);
    return run('mkfs.ext4', '-q', '-F', this.#image) || this.mount();
  }

  mount(): string {
    const refusal = run('mount', '-o', 'loop', this.#image, this.folder);
    this.#isMounted = refusal === '';
    return refusal;
  }

  cut(): string {
    return run('perl', '-e', SHUT_DOWN, this.folder);
  }

  unmount(): string {
    const refusal = this.#isMounted ? run('umount', this.folder) : '';
    if (refusal === '') this.#isMounted = false;
    return refusal;
  }

  remove(): void {
    const refusal = this.unmount();
    if (refusal !== '') throw new Error(`${this.folder} is still mounted (${refusal}); unmount and remove it by hand`);
    rmSync(this.#folder, { recursive: true, force: true });
  }
}

/** @returns the reason, where this machine does not allow it */
export async function cutPower(cuts: number, random: () => number): Promise<CutResult | string> {
  const disk = new LoopDisk();
  try {
    const refusal = disk.make();
    if (refusal !== '') return refusal;
    let result: CutResult = { cuts: 0, records: 0, syncedLost: 0, wrong: 0, torn: 0 };
    for (let n = 0; n < cuts; n += 1) {
      const found = await cutOnce(disk, join(disk.folder, `${n}.mcap`), random);
      if (typeof found === 'string') return found;
      result = {
        cuts: n + 1,
        records: result.records + found.records,
        syncedLost: result.syncedLost + found.syncedLost,
        wrong: result.wrong + found.wrong,
        torn: result.torn + found.torn,
      };
    }
    return result;
  } finally {
    disk.remove();
  }
}

async function cutOnce(disk: LoopDisk, journal: string, random: () => number): Promise<Omit<CutResult, 'cuts'> | string> {
  const child = spawn(process.execPath, ['--import', 'tsx', CHILD, journal], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = once(child, 'close');
  let synced = 0;
  const lines = createInterface({ input: child.stdout });
  const begun = once(lines, 'line');
  let cutAtNs: bigint | undefined;
  lines.on('line', (line) => {
    const [, count, atNs] = line.split(' ');
    // A sync that comes back from a file system that is being shut down says what no power cut would let it say.
    if (cutAtNs === undefined || BigInt(atNs ?? 0) < cutAtNs) synced = Number(count);
  });
  await begun;
  await delay(random() * 600);
  cutAtNs = process.hrtime.bigint();
  const refusal = disk.cut();
  // What it had told before the cut is still in the pipe.
  await delay(50);
  child.kill('SIGKILL');
  await ended;
  if (refusal !== '') return refusal;
  const again = disk.unmount() || disk.mount();
  if (again !== '') return again;
  const { records, damages } = readAll(journal);
  const wrong = records.filter((record, n) => !isDeepStrictEqual(record, sampleRecord(n))).length;
  rmSync(journal);
  return {
    records: records.length,
    syncedLost: Math.max(0, synced - records.length),
    wrong,
    torn: damages.length > 0 ? 1 : 0,
  };
}
