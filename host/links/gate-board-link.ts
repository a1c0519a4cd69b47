/**
 * The link to a gate board: makes records of its lines, in the order of arrival, and gives it the stamps that its clock
 * is fitted by.
 *
 * It knows lines, and of what they say only who the board is: checks, sequence and acknowledgement are the pipeline's.
 */
import { encodeMessage, type HostMessage, WIRE } from '../../protocol/index.ts';
import type { Conversation, DeviceLine } from './device.ts';
import { boardIdOf } from './gate-identity.ts';
import { LINK_TIMING, type LinkTiming } from './link-timing.ts';
import type { SessionClock } from './session-clock.ts';
import { type LinkPorts, SupervisedLink } from './supervised-link.ts';

export interface GateBoardSetup {
  /** The board's name in the rig file; the source of its records. */
  readonly name: string;
  /** Needed unless there is a serial number. */
  readonly path?: string;
  readonly serialNumber?: string;
  readonly baudRate: number;
  /** Who its HELLO must say it is. Undefined: whoever is at the path. */
  readonly boardId?: string;
}

/** Between PINGs; the first ones come faster, so that the clock is fitted soon after opening. */
const PING = { everyMs: 250, firstEveryMs: 50, firstCount: 8 };
/** A WHO or its HELLO may be lost on the way. */
const WHO_AGAIN_MS = 500;

export class GateBoardLink {
  readonly #link: SupervisedLink;
  readonly #clock: SessionClock;
  readonly #setup: GateBoardSetup;
  #line: DeviceLine | undefined;
  #sequence = 0;

  constructor(setup: GateBoardSetup, ports: LinkPorts, timing: LinkTiming = LINK_TIMING) {
    this.#setup = setup;
    this.#clock = ports.clock;
    const { boardId, ...device } = setup;
    const identity = boardId === undefined ? {} : { identity: boardId };
    this.#link = new SupervisedLink({ ...device, ...identity, lineEnding: 'lf', converse: (line) => this.#converse(line) }, ports, timing);
  }

  /** Opens the port, and again whenever it is lost, until `close`. */
  start(): void {
    this.#link.start();
  }

  /**
   * Sends one frame to the board, numbered. While the port is down it is dropped: what a host has to say then is
   * out of date by the time the port is back.
   * @throws RangeError where the message does not fit its frame (caller's bug)
   */
  send(message: HostMessage): void {
    const line = encodeMessage(message, this.#sequence);
    if (this.#line?.write(Buffer.from(`${line}\n`, 'latin1'))) this.#sequence = (this.#sequence + 1) % (WIRE.sequenceMax + 1);
  }

  /** Resolves once the port is closed and the last record handed over. */
  close(): Promise<void> {
    return this.#link.close();
  }

  #converse(line: DeviceLine): Conversation {
    this.#line = line;
    const { name, boardId } = this.#setup;
    let isKnown = false;
    const askWho = (): void => {
      if (isKnown) return;
      this.send({ kind: 'WHO' });
      if (line.needsProof) line.after(WHO_AGAIN_MS, askWho);
    };
    askWho();
    this.#ping(line, 1);
    return {
      onBytes: () => {
        if (!line.needsProof) line.accept('The board is heard.');
      },
      onLine: (bytes) => {
        line.record({ kind: 'line', source: name, atNs: line.arrivedAtNs, bytes });
        const found = boardId === undefined ? undefined : boardIdOf(bytes);
        if (found === undefined) return;
        isKnown = true;
        if (found === boardId) line.accept(`Board ${found} is heard at ${line.path}.`);
        else line.refuse(`Board ${found} is at ${line.path}; the rig file expects ${boardId}. Check which cable goes where.`);
      },
      onClosed: () => {
        this.#line = undefined;
      },
    };
  }

  #ping(line: DeviceLine, count: number): void {
    // A PING that has to wait behind other bytes would carry a false time of sending.
    if (line.pendingBytes === 0) {
      const token = BigInt(Math.trunc(this.#clock.nowNs())).toString(16).toUpperCase().padStart(16, '0');
      this.send({ kind: 'PING', token });
    }
    line.after(count < PING.firstCount ? PING.firstEveryMs : PING.everyMs, () => this.#ping(line, count + 1));
  }
}
