/**
 * One opening of a serial port, until it is lost or closed. A connection is never opened twice: a write to a lost port
 * of the library waits in silence for that very port to open again.
 */
import { type LineEnding, LineSplitter } from './line-splitter.ts';
import type { PortSystem } from './port-system.ts';

export interface ConnectionPorts {
  /** After each arrival of bytes, before the lines in them. The bytes are only lent. */
  readonly onBytes: (bytes: Uint8Array) => void;
  readonly onLine: (bytes: Uint8Array) => void;
  /**
   * Once, after the last line, unless the connection was closed by us. `released` resolves when the system has let go
   * of the port, which may take long where bytes wait in it; only then can it be opened again.
   */
  readonly onLost: (detail: string, released: Promise<void>) => void;
}

export interface ConnectionSetup {
  readonly path: string;
  readonly baudRate: number;
  /** Undefined: bytes are not split into lines. */
  readonly lineEnding: LineEnding | undefined;
}

/** Why a port could not be opened, in plain words. */
export class OpenRefusal extends Error {
  /** Nothing is there at all. */
  readonly isAbsent: boolean;

  constructor(cause: Error) {
    super(plainReason(cause.message), { cause });
    this.isAbsent = this.message === NOTHING_THERE;
  }
}

/** Written and not yet taken by the system. Beyond it a write is dropped: all that a host says is said again when needed. */
const PENDING_BYTES_MAX = 8 * 1024;

type Port = ReturnType<PortSystem['create']>;

interface ConnectionParts {
  readonly ports: ConnectionPorts;
  readonly system: PortSystem;
  readonly lineEnding: LineEnding | undefined;
}

export class SerialConnection {
  readonly #port: Port;
  readonly #lines: LineSplitter | undefined;
  readonly #ports: ConnectionPorts;
  readonly #system: PortSystem;
  readonly #identity: string | undefined;
  #ending: Promise<void> | undefined;

  /** @throws OpenRefusal (rejects) with what stands in the way */
  static async open(setup: ConnectionSetup, ports: ConnectionPorts, system: PortSystem): Promise<SerialConnection> {
    const port = system.create(setup);
    // Without a listener an 'error' ends the process; this one stays for the port's whole life.
    port.on('error', () => {});
    const connection = new SerialConnection(port, { ports, system, lineEnding: setup.lineEnding });
    await new Promise<void>((resolve, reject) => {
      port.open((error) => (error ? reject(new OpenRefusal(error)) : resolve()));
    });
    return connection;
  }

  private constructor(port: Port, { ports, system, lineEnding }: ConnectionParts) {
    this.#port = port;
    this.#ports = ports;
    this.#system = system;
    this.#identity = system.identityOf(port.path);
    port.on('data', (bytes: Buffer) => ports.onBytes(bytes));
    this.#lines = lineEnding && new LineSplitter(port, ports.onLine, lineEnding);
    port.on('error', (error) => this.lose(error.message));
    port.on('end', () => this.lose('end of input'));
    port.on('close', (error: Error | null) => this.lose(error ? `the port went away (${error.message})` : 'the port was closed'));
  }

  /**
   * True where the path that was opened is there no more, or leads to another port. Pulled at a bad moment, that is the
   * only sign of it: the serial library then reads "no bytes" for ever, and as fast as it can.
   */
  get isReplaced(): boolean {
    return this.#identity !== undefined && this.#system.identityOf(this.#port.path) !== this.#identity;
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
    this.#ending = this.#finishLines().then(() => {
      const released = this.#release();
      this.#ports.onLost(detail, released);
      return released;
    });
  }

  /** Hands over the last line, closes the port, and tells nobody but the caller. */
  close(): Promise<void> {
    this.#ending ??= this.#finishLines().then(() => this.#release());
    return this.#ending;
  }

  async #finishLines(): Promise<void> {
    // A chunk that is being handed out now still goes to every listener: the lines must not be ended before.
    await Promise.resolve();
    await this.#lines?.finish(this.#port);
  }

  #release(): Promise<void> {
    if (!this.#port.isOpen) return Promise.resolve();
    return new Promise((resolve) => this.#port.close(() => resolve()));
  }
}

const NOTHING_THERE = 'nothing is there';

function plainReason(message: string): string {
  if (/no such file|file not found/i.test(message)) return NOTHING_THERE;
  if (/permission denied/i.test(message)) return 'no permission to open it (on Debian the user must be in the group dialout)';
  if (/cannot lock port/i.test(message)) return 'another program has it open';
  return message.replace(/^Error:?\s*/, '');
}
