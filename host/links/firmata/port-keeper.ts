/** Keeps one serial port open: opens it, again with back-off whenever it is lost or refused, and sees when it is there again. */
import { existsSync } from 'node:fs';
import { ByteConnection } from './byte-connection.ts';

export interface KeeperTiming {
  /** First and longest wait before opening again; doubles in between. */
  readonly retryMs: readonly [number, number];
  /** How often an absent path is looked for, and an open one checked for having vanished or been replaced. */
  readonly lookMs: number;
}

export interface KeeperPorts {
  readonly onOpened: (connection: ByteConnection) => void;
  readonly onBytes: (bytes: Uint8Array) => void;
  readonly onLost: (detail: string) => void;
  readonly onRefused: (detail: string) => void;
  /** Each look at a port that is open. */
  readonly onLook: (connection: ByteConnection) => void;
}

export class PortKeeper {
  readonly #setup: { readonly path: string; readonly baudRate: number };
  readonly #timing: KeeperTiming;
  readonly #ports: KeeperPorts;
  #connection: ByteConnection | undefined;
  #opening: Promise<void> | undefined;
  #closed = false;
  #wasAbsent = false;
  #retries = 0;
  #retryTimer: NodeJS.Timeout | undefined;
  #lookTimer: NodeJS.Timeout | undefined;

  constructor(setup: { readonly path: string; readonly baudRate: number }, timing: KeeperTiming, ports: KeeperPorts) {
    this.#setup = setup;
    this.#timing = timing;
    this.#ports = ports;
  }

  start(): void {
    this.#lookTimer = setInterval(() => this.#look(), this.#timing.lookMs);
    this.#open();
  }

  /** The right device answers: the next loss is a new one. Not upon opening, or a mute port would be opened five times a second. */
  isWell(): void {
    this.#retries = 0;
  }

  /** Resolves once the port is closed; nothing is told any more. */
  async close(): Promise<void> {
    this.#closed = true;
    clearTimeout(this.#retryTimer);
    clearInterval(this.#lookTimer);
    await this.#opening;
    await this.#connection?.close();
    // Where the port was just being lost, it may still be in the system's hands.
    await this.#opening;
    this.#connection = undefined;
  }

  #open(): void {
    this.#retryTimer = undefined;
    this.#opening = ByteConnection.open(this.#setup, {
      onBytes: (bytes) => this.#ports.onBytes(bytes),
      onLost: (detail, released) => this.#onLost(detail, released),
    }).then(
      (connection) => {
        this.#opening = undefined;
        this.#connection = connection;
        if (!this.#closed) this.#ports.onOpened(connection);
      },
      (error: Error) => {
        this.#opening = undefined;
        if (this.#closed) return;
        this.#ports.onRefused(error.message);
        this.#openLater();
      },
    );
  }

  #onLost(detail: string, released: Promise<void>): void {
    this.#connection = undefined;
    this.#opening = released.then(() => {
      this.#opening = undefined;
      if (!this.#closed) this.#openLater();
    });
    if (!this.#closed) this.#ports.onLost(detail);
  }

  #openLater(): void {
    const [first, longest] = this.#timing.retryMs;
    const waitMs = Math.min(first * 2 ** this.#retries, longest);
    this.#retries = Math.min(this.#retries + 1, 16);
    this.#retryTimer = setTimeout(() => this.#open(), waitMs);
  }

  #look(): void {
    if (this.#connection?.isReplaced) this.#connection.lose('the port went away');
    else if (this.#connection !== undefined) this.#ports.onLook(this.#connection);
    if (!existsSync(this.#setup.path)) this.#wasAbsent = true;
    else if (this.#wasAbsent && this.#retryTimer !== undefined) {
      this.#wasAbsent = false;
      clearTimeout(this.#retryTimer);
      this.#retries = 0;
      this.#open();
    }
  }
}
