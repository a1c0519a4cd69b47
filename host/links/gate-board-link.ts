/**
 * The link to a gate board: keeps a serial port open through unplugging, silence and absence, turns what arrives into
 * records in the order of arrival, and gives the board the stamps that its clock is fitted by.
 *
 * It knows lines, not what they say: checks, sequence and acknowledgement are the pipeline's.
 */
import { existsSync } from 'node:fs';
import { encodeMessage, type HostMessage, type LinkChange, type PosternRecord, WIRE } from '../../protocol/index.ts';
import { SerialConnection } from './serial-connection.ts';
import type { SessionClock } from './session-clock.ts';

export interface GateBoardSetup {
  /** The board's name in the rig file; the source of its records. */
  readonly name: string;
  readonly path: string;
  readonly baudRate: number;
}

export interface LinkPorts {
  readonly clock: SessionClock;
  readonly onRecord: (record: PosternRecord) => void;
}

export interface LinkTiming {
  /** Between PINGs; the first ones come faster, so that the clock is fitted soon after opening. */
  readonly pingMs: number;
  readonly firstPings: number;
  readonly firstPingMs: number;
  /** No byte for so long: the port is closed and opened again. */
  readonly silenceMs: number;
  /** First and longest wait before opening again; doubles in between. */
  readonly retryMs: readonly [number, number];
  /** How often an absent path is looked for, and an open one checked for having vanished or been replaced. */
  readonly lookMs: number;
}

export const LINK_TIMING: LinkTiming = {
  pingMs: 250,
  firstPings: 8,
  firstPingMs: 50,
  silenceMs: 3000,
  retryMs: [200, 2000],
  lookMs: 100,
};

export class GateBoardLink {
  readonly #setup: GateBoardSetup;
  readonly #ports: LinkPorts;
  readonly #timing: LinkTiming;
  #connection: SerialConnection | undefined;
  #opening: Promise<void> | undefined;
  #started = false;
  #closed = false;
  #sequence = 0;
  #pings = 0;
  #retries = 0;
  /** Looks in a row, since the last byte, while open. */
  #silentLooks = 0;
  #arrivedAtNs = 0;
  #toldNs = 0;
  #toldOpening = '';
  #pingTimer: NodeJS.Timeout | undefined;
  #retryTimer: NodeJS.Timeout | undefined;
  #lookTimer: NodeJS.Timeout | undefined;

  constructor(setup: GateBoardSetup, ports: LinkPorts, timing: LinkTiming = LINK_TIMING) {
    this.#setup = setup;
    this.#ports = ports;
    this.#timing = timing;
  }

  /** Opens the port, and again whenever it is lost, until `close`. */
  start(): void {
    if (this.#started || this.#closed) return;
    this.#started = true;
    this.#tellChange('opening', '');
    this.#lookTimer = this.#everyLook();
    this.#open();
  }

  /**
   * Sends one frame to the board, numbered. While the port is down it is dropped: what a host has to say then is
   * out of date by the time the port is back.
   * @throws RangeError where the message does not fit its frame (caller's bug)
   */
  send(message: HostMessage): void {
    const line = encodeMessage(message, this.#sequence);
    if (this.#connection?.write(Buffer.from(`${line}\n`, 'latin1'))) this.#sequence = (this.#sequence + 1) % (WIRE.sequenceMax + 1);
  }

  /** Resolves once the port is closed and the last record handed over. */
  async close(): Promise<void> {
    if (this.#closed) return;
    this.#closed = true;
    clearTimeout(this.#pingTimer);
    clearTimeout(this.#retryTimer);
    clearInterval(this.#lookTimer);
    await this.#opening;
    await this.#connection?.close();
    // Where the port was just being lost, its last line and its loss were told first, and it may still be in the system's hands.
    await this.#opening;
    this.#connection = undefined;
    if (this.#started) this.#tellChange('closed', '');
  }

  #open(): void {
    this.#retryTimer = undefined;
    const { path, baudRate } = this.#setup;
    this.#opening = SerialConnection.open(
      { path, baudRate },
      {
        onBytes: () => this.#onBytes(),
        onLine: (bytes) => this.#onLine(bytes),
        onLost: (detail, released) => this.#onLost(detail, released),
      },
    ).then(
      (connection) => this.#onOpened(connection),
      (error: Error) => this.#onRefused(error.message),
    );
  }

  #onOpened(connection: SerialConnection): void {
    this.#opening = undefined;
    this.#connection = connection;
    if (this.#closed) return;
    this.#silentLooks = 0;
    this.#toldOpening = '';
    this.#tellChange('opened', '');
    this.send({ kind: 'WHO' });
    this.#pings = 0;
    this.#ping();
  }

  #onRefused(detail: string): void {
    this.#opening = undefined;
    if (this.#closed) return;
    if (detail !== this.#toldOpening) this.#tellChange('opening', detail);
    this.#toldOpening = detail;
    this.#openLater();
  }

  #onLost(detail: string, released: Promise<void>): void {
    clearTimeout(this.#pingTimer);
    this.#tellChange('lost', detail);
    this.#connection = undefined;
    this.#opening = released.then(() => {
      this.#opening = undefined;
      if (!this.#closed) this.#openLater();
    });
  }

  #openLater(): void {
    const [first, longest] = this.#timing.retryMs;
    const waitMs = Math.min(first * 2 ** this.#retries, longest);
    this.#retries = Math.min(this.#retries + 1, 16);
    this.#retryTimer = setTimeout(() => this.#open(), waitMs);
  }

  #onBytes(): void {
    this.#arrivedAtNs = this.#ports.clock.nowNs();
    this.#silentLooks = 0;
    // Not upon opening: a port that opens and stays silent must not be opened five times a second.
    this.#retries = 0;
  }

  #onLine(bytes: Uint8Array): void {
    this.#tell({ kind: 'line', source: this.#setup.name, atNs: this.#arrivedAtNs, bytes });
  }

  #tellChange(change: LinkChange, detail: string): void {
    const value = { change, path: this.#setup.path, detail };
    this.#tell({ kind: 'link', source: this.#setup.name, atNs: this.#ports.clock.nowNs(), value });
  }

  /** Records of one source never step back in time. */
  #tell(record: PosternRecord): void {
    this.#toldNs = Math.max(this.#toldNs, record.atNs);
    this.#ports.onRecord({ ...record, atNs: this.#toldNs });
  }

  #ping(): void {
    // A PING that has to wait behind other bytes would carry a false time of sending.
    if (this.#connection?.pendingBytes === 0) {
      const token = BigInt(Math.trunc(this.#ports.clock.nowNs())).toString(16).toUpperCase().padStart(16, '0');
      this.send({ kind: 'PING', token });
    }
    this.#pings += 1;
    const waitMs = this.#pings < this.#timing.firstPings ? this.#timing.firstPingMs : this.#timing.pingMs;
    this.#pingTimer = setTimeout(() => this.#ping(), waitMs);
  }

  /**
   * Silence is counted in looks, not read from a clock: after the process itself stood still (a paused laptop) the
   * bytes that wait in the system are read before the next look.
   */
  #everyLook(): NodeJS.Timeout {
    let wasAbsent = false;
    return setInterval(() => {
      if (this.#connection !== undefined) {
        this.#silentLooks += 1;
        if (this.#connection.isReplaced) this.#connection.lose('the port went away');
        else if (this.#silentLooks * this.#timing.lookMs >= this.#timing.silenceMs) this.#connection.lose('silent');
      }
      if (!existsSync(this.#setup.path)) wasAbsent = true;
      else if (wasAbsent && this.#retryTimer !== undefined) {
        wasAbsent = false;
        clearTimeout(this.#retryTimer);
        this.#retries = 0;
        this.#open();
      }
    }, this.#timing.lookMs);
  }
}
