/**
 * One opening of a serial port for a device that speaks no lines, until it is lost or closed. As with the connection of
 * a gate board it is never opened twice: a write to a lost port of the library waits in silence for that port to open again.
 */
import fs from 'node:fs';
import { SerialPort } from 'serialport';

export interface BytePorts {
  readonly onBytes: (bytes: Uint8Array) => void;
  /** Once, after the last bytes, unless we closed it. `released` resolves when the system has let go of the port. */
  readonly onLost: (detail: string, released: Promise<void>) => void;
}

/** Written and not yet taken by the system. Beyond it a write is dropped: all that the host says is said again when needed. */
const PENDING_BYTES_MAX = 8 * 1024;

export class ByteConnection {
  readonly #port: SerialPort;
  readonly #ports: BytePorts;
  readonly #identity: string | undefined;
  #ending: Promise<void> | undefined;

  /** @throws Error (rejects) with what stands in the way, in plain words */
  static async open(setup: { readonly path: string; readonly baudRate: number }, ports: BytePorts): Promise<ByteConnection> {
    const port = new SerialPort({ path: setup.path, baudRate: setup.baudRate, autoOpen: false });
    // Without a listener an 'error' ends the process; this one stays for the port's whole life.
    port.on('error', () => {});
    const connection = new ByteConnection(port, ports);
    await new Promise<void>((resolve, reject) => {
      port.open((error) => (error ? reject(new Error(plainReason(error.message), { cause: error })) : resolve()));
    });
    return connection;
  }

  private constructor(port: SerialPort, ports: BytePorts) {
    this.#port = port;
    this.#ports = ports;
    this.#identity = identityOf(port.path);
    port.on('data', (bytes: Buffer) => {
      if (this.#ending === undefined) ports.onBytes(bytes);
    });
    port.on('error', (error) => this.lose(error.message));
    port.on('end', () => this.lose('end of input'));
    port.on('close', (error: Error | null) => this.lose(error ? `the port went away (${error.message})` : 'the port was closed'));
  }

  /**
   * True where the path that was opened is there no more, or leads to another port. Pulled at a bad moment, that is the
   * only sign of it: the serial library then reads "no bytes" for ever.
   */
  get isReplaced(): boolean {
    return this.#identity !== undefined && identityOf(this.#port.path) !== this.#identity;
  }

  /** @returns false where the bytes were dropped */
  write(bytes: Uint8Array): boolean {
    const isDown = this.#ending !== undefined || !this.#port.isOpen;
    if (isDown || this.#port.writableLength + bytes.length > PENDING_BYTES_MAX) return false;
    this.#port.write(Buffer.from(bytes), () => {
      // A failed write closes the port, and that is told by 'close'.
    });
    return true;
  }

  /** Gives the connection up, as if the cable had been pulled. */
  lose(detail: string): void {
    if (this.#ending !== undefined) return;
    this.#ending = this.#release();
    this.#ports.onLost(detail, this.#ending);
  }

  /** Closes the port and tells nobody but the caller. */
  close(): Promise<void> {
    this.#ending ??= this.#release();
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
