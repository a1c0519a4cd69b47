/**
 * A disk that keeps what is durable apart from what is only written. The end of a process leaves all that was written,
 * a power cut only what was synced, and of the rest whatever chance leaves.
 */
import type { Random } from '../../firmware-sim/world/random.ts';
import type { JournalFile } from '../../host/journal/index.ts';
import type { FaultTally } from './fault-counts.ts';

export type Refusal = 'ENOSPC' | 'EROFS';

/** On a disk a block is written whole or not at all. */
const BLOCK_BYTES = 512;
const ZERO = 0;

interface Write {
  readonly bytes: Uint8Array;
  /** `doomed`: the system has thrown it away after a failed sync, and would say that a later one is a success. */
  state: 'written' | 'durable' | 'doomed';
}

interface DiskFile {
  writes: Write[];
}

export class SimulatedDisk {
  readonly #random: Random;
  readonly #tally: FaultTally;
  readonly #files = new Map<string, DiskFile>();
  /** Each process life has its own; what an earlier one still does reaches nothing. */
  #life = 0;
  #killInWrites: number | undefined;
  refusal: Refusal | undefined;
  /** Syncs from now on fail. */
  failsSync = false;
  /** A share of writes is taken in part only. */
  shortWrites = 0;
  syncMs: readonly [number, number] = [1, 12];
  /** The process ended in the middle of a write. */
  onKilled: () => void = () => undefined;

  constructor(random: Random, tally: FaultTally) {
    this.#random = random;
    this.#tally = tally;
  }

  /** Another number for each process that uses it. */
  get life(): number {
    return this.#life;
  }

  get names(): readonly string[] {
    return [...this.#files.keys()];
  }

  /** As anybody would read it now. */
  content(name: string): Uint8Array {
    return Buffer.concat((this.#files.get(name)?.writes ?? []).map(({ bytes }) => bytes));
  }

  /** The process is to end in so many writes from now, with a part of the last of them done. */
  killInWrites(count: number): void {
    this.#killInWrites = count;
  }

  /** @throws Error as the system does */
  create(name: string): JournalFile {
    this.#refuse('open');
    if (this.#files.has(name)) throw systemError('EEXIST', `EEXIST: file already exists, open '${name}'`);
    const file: DiskFile = { writes: [] };
    this.#files.set(name, file);
    const life = this.#life;
    const isGone = (): boolean => life !== this.#life;
    return {
      write: (bytes) => (isGone() ? bytes.length : this.#write(file, bytes)),
      datasync: () => this.#sync(file, isGone),
      close: () => undefined,
      discard: () => {
        if (!isGone()) this.#files.delete(name);
      },
    };
  }

  /** The process has ended; the system goes on, and has all that it took. */
  endLife(): void {
    this.#life += 1;
    this.#killInWrites = undefined;
  }

  /** What was not synced is whole, torn or gone. */
  cutPower(): void {
    this.endLife();
    for (const file of this.#files.values()) file.writes = this.#surviving(file.writes);
  }

  #write(file: DiskFile, bytes: Uint8Array): number {
    if (this.#killInWrites !== undefined && --this.#killInWrites <= 0) {
      const kept = this.#random.integer(bytes.length + 1);
      if (this.refusal === undefined && kept > 0) file.writes.push({ bytes: bytes.slice(0, kept), state: 'written' });
      if (kept > 0 && kept < bytes.length) this.#tally.add('torn write');
      this.endLife();
      this.onKilled();
      return bytes.length;
    }
    this.#refuse('write');
    const isShort = this.shortWrites > 0 && bytes.length > 1 && this.#random.uniform() < this.shortWrites;
    if (isShort) this.#tally.add('short write');
    // A copy: the caller may use its buffer again.
    const taken = bytes.slice(0, isShort ? 1 + this.#random.integer(bytes.length - 1) : bytes.length);
    file.writes.push({ bytes: taken, state: 'written' });
    return taken.length;
  }

  #refuse(what: string): void {
    if (this.refusal === undefined) return;
    this.#tally.add(this.refusal === 'ENOSPC' ? 'full disk' : 'read-only disk');
    throw systemError(this.refusal, `${this.refusal}: ${what}`);
  }

  async #sync(file: DiskFile, isGone: () => boolean): Promise<void> {
    const covered = file.writes.filter(({ state }) => state === 'written');
    const [least, most] = this.syncMs;
    if (most > 50) this.#tally.add('slow sync');
    const fails = this.failsSync;
    await new Promise<void>((resolve) => setTimeout(resolve, Math.round(this.#random.between(least, most))));
    if (isGone()) return new Promise(() => undefined);
    for (const write of covered) write.state = fails ? 'doomed' : 'durable';
    if (!fails) return;
    this.#tally.add('failed sync');
    throw systemError('EIO', 'EIO: i/o error, fdatasync');
  }

  #surviving(writes: readonly Write[]): Write[] {
    const bytes = Buffer.concat(writes.map((write) => write.bytes));
    const isSafe = new Uint8Array(bytes.length);
    let at = 0;
    for (const write of writes) {
      if (write.state === 'durable') isSafe.fill(1, at, at + write.bytes.length);
      at += write.bytes.length;
    }
    const safeEnd = isSafe.lastIndexOf(1) + 1;
    // The length is on the disk up to somewhere behind the last safe byte.
    const end = safeEnd + this.#random.integer(bytes.length - safeEnd + 1);
    const inOrder = this.#random.uniform() < 0.5;
    let lostBlocks = 0;
    for (let block = 0; !inOrder && block < end; block += BLOCK_BYTES) {
      const isKept = this.#random.uniform() < 0.6;
      for (let i = block; !isKept && i < Math.min(block + BLOCK_BYTES, end); i++) {
        if (isSafe[i] === 1 || bytes[i] === ZERO) continue;
        bytes[i] = ZERO;
        lostBlocks += 1;
      }
    }
    if (end < bytes.length) this.#tally.add('torn write');
    if (lostBlocks > 0) this.#tally.add('lost write');
    return end === 0 ? [] : [{ bytes: bytes.subarray(0, end), state: 'durable' }];
  }
}

function systemError(code: string, message: string): Error {
  return Object.assign(new Error(message), { code });
}
