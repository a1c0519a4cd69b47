/**
 * A real pseudo-terminal as the board's wire: the host opens `linkPath` with its ordinary serial binding and cannot
 * tell it from a board's port. The link is a symbolic link, so the path stays the same when the cable is pulled and
 * put back, while the terminal behind it is a new one each time, as with a USB adapter.
 *
 * How it is handled, and why (each of these was seen to fail when done otherwise):
 * - raw mode before anyone opens it, or the first bytes are echoed;
 * - a file descriptor of ours keeps the host's end open, or our end fails each time the host closes its own;
 * - the library's own stream on the host's end is destroyed in the same tick, or it eats what we send;
 * - we write with `fs.writeSync` and try again on EAGAIN, because the stream's write blocks the whole process once
 *   the kernel's buffer is full, and host and board may live in the same process;
 * - the terminal object of the library is never told to `destroy()` or `kill()`: its process id is -1, and the signal
 *   would go to every process of the user. Only `master.destroy()`.
 */
import { once } from 'node:events';
import fs from 'node:fs';
import path from 'node:path';
import type { ReadStream } from 'node:tty';
import * as nodePty from '@lydell/node-pty';
import type { Wire } from './wire.ts';

/** Waiting for the host to read. When it is full the newest bytes are dropped whole and counted. */
const QUEUE_BYTES_MAX = 256 * 1024;
/** After a full kernel buffer: wait, doubling from the first to the second while nothing moves. */
const RETRY_MS = [1, 16] as const;

export interface PtyWire extends Wire {
  /** Bytes that found the queue full since the wire was opened, like a UART that nobody drains. */
  readonly droppedBytes: number;
  /** Bytes that wait for the host to read, beside those in the kernel's own buffer. */
  readonly queuedBytes: number;
}

/** What the library's typings leave out. */
interface OpenedPty {
  readonly master: ReadStream;
  readonly slave: ReadStream;
  readonly fd: number;
  readonly ptsName: string;
}
const { open: openPty } = nodePty as unknown as { open(options: { encoding: null }): OpenedPty };

/**
 * @param linkPath  where the host shall find the port; its folder is made, an old symbolic link there is replaced
 * @throws Error where something that is no symbolic link stands at linkPath, or the system has no pseudo-terminals
 */
export async function openPtyWire(linkPath: string): Promise<PtyWire> {
  const listeners: ((bytes: Uint8Array) => void)[] = [];
  const onBytes = (bytes: Uint8Array) => {
    for (const listener of listeners) listener(bytes);
  };
  let droppedBytes = 0;
  const onDropped = (count: number) => {
    droppedBytes += count;
  };
  let plugged: PluggedPty | undefined = new PluggedPty(linkPath, onBytes, onDropped);
  let closed = false;
  const unplug = async () => {
    const old = plugged;
    plugged = undefined;
    await old?.close();
  };
  return {
    get droppedBytes() {
      return droppedBytes;
    },
    get queuedBytes() {
      return plugged?.queuedBytes ?? 0;
    },
    onData: (listener) => {
      listeners.push(listener);
    },
    write: (bytes) => plugged?.write(bytes),
    unplug,
    async replug() {
      if (closed) throw new Error(`${linkPath}: the wire was closed`);
      plugged ??= new PluggedPty(linkPath, onBytes, onDropped);
    },
    async close() {
      closed = true;
      await unplug();
    },
  };
}

/** One pseudo-terminal, from plugging in to pulling out. */
class PluggedPty {
  readonly #linkPath: string;
  readonly #terminal: OpenedPty;
  readonly #hostEndFd: number;
  readonly #onDropped: (bytes: number) => void;
  #queue: Uint8Array[] = [];
  #queuedBytes = 0;
  #retry: NodeJS.Timeout | undefined;
  #retryMs: number = RETRY_MS[0];
  #gone = false;

  constructor(linkPath: string, onBytes: (bytes: Uint8Array) => void, onDropped: (bytes: number) => void) {
    this.#linkPath = linkPath;
    this.#onDropped = onDropped;
    clearLink(linkPath);
    const terminal = openPty({ encoding: null });
    this.#terminal = terminal;
    terminal.slave.setRawMode(true);
    this.#hostEndFd = fs.openSync(terminal.ptsName, fs.constants.O_RDWR | fs.constants.O_NOCTTY);
    terminal.slave.destroy();
    // The library's own listener would throw; a failing master is the same as a pulled cable here.
    terminal.master.removeAllListeners('error');
    terminal.master.on('error', () => void this.close());
    terminal.master.on('data', onBytes);
    fs.mkdirSync(path.dirname(linkPath), { recursive: true });
    fs.symlinkSync(terminal.ptsName, linkPath);
  }

  get queuedBytes(): number {
    return this.#queuedBytes;
  }

  write(bytes: Uint8Array): void {
    if (this.#gone || bytes.length === 0) return;
    if (this.#queuedBytes + bytes.length > QUEUE_BYTES_MAX) {
      this.#onDropped(bytes.length);
      return;
    }
    // A copy: the caller may use its buffer again.
    this.#queue.push(Uint8Array.from(bytes));
    this.#queuedBytes += bytes.length;
    if (this.#retry === undefined) this.#pump();
  }

  #pump(): void {
    this.#retry = undefined;
    while (!this.#gone) {
      const head = this.#queue[0];
      if (head === undefined) return;
      let written: number;
      try {
        written = fs.writeSync(this.#terminal.fd, head);
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
        this.#retry = setTimeout(() => this.#pump(), this.#retryMs);
        this.#retryMs = Math.min(2 * this.#retryMs, RETRY_MS[1]);
        return;
      }
      this.#retryMs = RETRY_MS[0];
      this.#queuedBytes -= written;
      if (written === head.length) this.#queue.shift();
      else this.#queue[0] = head.subarray(written);
    }
  }

  async close(): Promise<void> {
    if (this.#gone) return;
    this.#gone = true;
    clearTimeout(this.#retry);
    this.#queue = [];
    const { master } = this.#terminal;
    const closing = master.closed ? undefined : once(master, 'close');
    master.destroy();
    fs.closeSync(this.#hostEndFd);
    if (linkTarget(this.#linkPath) === this.#terminal.ptsName) fs.unlinkSync(this.#linkPath);
    await closing;
  }
}

function linkTarget(linkPath: string): string | undefined {
  try {
    return fs.readlinkSync(linkPath);
  } catch {
    return undefined;
  }
}

function clearLink(linkPath: string): void {
  const stat = fs.lstatSync(linkPath, { throwIfNoEntry: false });
  if (stat === undefined) return;
  if (!stat.isSymbolicLink()) throw new Error(`${linkPath}: something else stands there that is no symbolic link; choose another path`);
  fs.unlinkSync(linkPath);
}
