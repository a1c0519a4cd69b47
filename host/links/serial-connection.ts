/**
 * One opening of a serial port, until it is lost or closed. A connection is never opened twice: a write to a lost port
 * of the library waits in silence for that very port to open again.
 */
import fs from 'node:fs';
import { SerialPort } from 'serialport';
import { LineSplitter } from './line-splitter.ts';

export interface ConnectionPorts {
  /** After each arrival of bytes, before the lines in them. */
  readonly onBytes: () => void;
  readonly onLine: (bytes: Uint8Array) => void;
  /**
   * Once, after the last line, unless the connection was closed by us. `released` resolves when the system has let go
   * of the port, which may take long where bytes wait in it; only then can it be opened again.
   */
  readonly onLost: (detail: string, released: Promise<void>) => void;
}

/** Written and not yet taken by the system. Beyond it a write is dropped: all that a host says is said again when needed. */
const PENDING_BYTES_MAX = 8 * 1024;

export class SerialConnection {
  readonly #port: SerialPort;
  readonly #lines: LineSplitter;
  readonly #ports: ConnectionPorts;
  readonly #identity: string | undefined;
  #ending: Promise<void> | undefined;

  /** @throws Error (rejects) with what stands in the way, in plain words */
  static async open(setup: { readonly path: string; readonly baudRate: number }, ports: ConnectionPorts): Promise<SerialConnection> {
    const port = new SerialPort({ path: setup.path, baudRate: setup.baudRate, autoOpen: false });
    // Without a listener an 'error' ends the process; this one stays for the port's whole life.
    port.on('error', () => {});
    const connection = new SerialConnection(port, ports);
    await new Promise<void>((resolve, reject) => {
      port.open((error) => (error ? reject(new Error(plainReason(error.message), { cause: error })) : resolve()));
    });
    return connection;
  }

  private constructor(port: SerialPort, ports: ConnectionPorts) {
    this.#port = port;
    this.#ports = ports;
    this.#identity = identityOf(port.path);
    port.on('data', () => ports.onBytes());
    this.#lines = new LineSplitter(port, ports.onLine);
    port.on('error', (error) => this.lose(error.message));
    port.on('end', () => this.lose('end of input'));
    port.on('close', (error: Error | null) => this.lose(error ? `the port went away (${error.message})` : 'the port was closed'));
  }

  /**
   * True where the path that was opened is there no more, or leads to another port. Pulled at a bad moment, that is the
   * only sign of it: the serial library then reads "no bytes" for ever, and as fast as it can.
   */
  get isReplaced(): boolean {
    return this.#identity !== undefined && identityOf(this.#port.path) !== this.#identity;
  }

  /** Bytes handed to `write` that the system has not taken yet. */
  get pendingBytes(): number {
    return this.#port.writableLength;
  }

  /** @returns false where the bytes were dropped */
  write(bytes: Uint8Array): boolean {
    if (this.#ending !== undefined || !this.#port.isOpen || this.pendingBytes + bytes.length > PENDING_BYTES_MAX) return false;
    this.#port.write(Buffer.from(bytes), () => {
      // A failed write closes the port, and that is told by 'close'.
    });
    return true;
  }

  /** Gives the connection up, as if the cable had been pulled. */
  lose(detail: string): void {
    if (this.#ending !== undefined) return;
    this.#ending = this.#lines.finish(this.#port).then(() => {
      const released = this.#release();
      this.#ports.onLost(detail, released);
      return released;
    });
  }

  /** Hands over the last line, closes the port, and tells nobody but the caller. */
  close(): Promise<void> {
    this.#ending ??= this.#lines.finish(this.#port).then(() => this.#release());
    return this.#ending;
  }

  #release(): Promise<void> {
    if (!this.#port.isOpen) return Promise.resolve();
    return new Promise((resolve) => this.#port.close(() => resolve()));
  }
}

/** @returns undefined where the path is no file, as on a system that names its ports otherwise */
function identityOf(path: string): string | undefined {
  const link = fs.lstatSync(path, { throwIfNoEntry: false });
  const device = fs.statSync(path, { throwIfNoEntry: false });
  return link && device && `${link.ino} ${device.dev} ${device.ino} ${device.rdev}`;
}

function plainReason(message: string): string {
  if (/no such file/i.test(message)) return 'nothing there';
  if (/permission denied/i.test(message)) return 'no permission to open it (on Debian the user must be in the group dialout)';
  if (/cannot lock port/i.test(message)) return 'another program has it open';
  return message.replace(/^Error:?\s*/, '');
}
