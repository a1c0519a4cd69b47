/**
 * One device's link, whatever its kind: finds its port, keeps it open through unplugging, silence, absence, another
 * path and another program, and tells which state it is in. Whatever goes wrong in it ends here, as a state.
 *
 * It never gives up. While a device that was lost, silent or wrong is sought, its state stays what it was; tries that
 * fail the same way again are not told again.
 */
import type { LineRecord, ReadingRecord } from '../../protocol/index.ts';
import type { DeviceKind } from './device.ts';
import { LinkTeller, type TellerPorts } from './link-teller.ts';
import { LINK_TIMING, type LinkTiming } from './link-timing.ts';
import { OpenLine } from './open-line.ts';
import { type Claim, PortBook } from './port-book.ts';
import { type Candidate, PortFinder } from './port-finder.ts';
import { OpenRefusal, SerialConnection } from './serial-connection.ts';

export interface LinkPorts extends TellerPorts {
  /** Shared by the links of a session; a link alone has its own. */
  readonly book?: PortBook;
}

/** A port that is there and cannot be opened; undefined: nothing is there. */
type Refused = { readonly why: string | undefined };

const RETRIES_COUNTED_MAX = 16;

export class SupervisedLink {
  readonly #kind: DeviceKind;
  readonly #ports: LinkPorts;
  readonly #timing: LinkTiming;
  readonly #book: PortBook;
  readonly #finder: PortFinder;
  readonly #teller: LinkTeller;
  #line: OpenLine | undefined;
  #claim: Claim | undefined;
  /** A try, or the system's letting go of a port: `close` waits for it. */
  #busy: Promise<void> | undefined;
  #started = false;
  #closed = false;
  #tries = 0;
  #retryTimer: NodeJS.Timeout | undefined;
  #lookTimer: NodeJS.Timeout | undefined;

  constructor(kind: DeviceKind, ports: LinkPorts, timing: LinkTiming = LINK_TIMING) {
    if (kind.path === undefined && kind.serialNumber === undefined) throw new RangeError(`${kind.name}: no path and no serial number`);
    this.#kind = kind;
    this.#ports = ports;
    this.#timing = timing;
    this.#book = ports.book ?? new PortBook();
    this.#finder = new PortFinder(kind, { book: this.#book, clock: ports.clock }, timing.wrongMs);
    this.#teller = new LinkTeller(kind.name, ports, (detail) => this.#line?.fail(detail));
  }

  /** Opens the port, and again whenever it is lost, until `close`. */
  start(): void {
    if (this.#started || this.#closed) return;
    this.#started = true;
    const { serialNumber } = this.#kind;
    if (serialNumber === undefined) this.#say('opening', 'First try.');
    else this.#say('searching', `Looking for the port with serial number ${serialNumber}.`);
    this.#lookTimer = this.#everyLook();
    this.#try();
  }

  /** Resolves once the port is closed and the last record handed over. */
  async close(): Promise<void> {
    if (this.#closed) return;
    this.#closed = true;
    clearTimeout(this.#retryTimer);
    clearInterval(this.#lookTimer);
    await this.#busy;
    await this.#line?.close();
    // Where the port was just being lost, its last line and its loss were told first, and it may still be in the system's hands.
    await this.#busy;
    this.#line = undefined;
    this.#claim?.release();
    if (this.#started) this.#say('closed', 'The host has ended the link.');
  }

  #try(): void {
    this.#retryTimer = undefined;
    this.#busy = this.#attempt().finally(() => {
      this.#busy = undefined;
    });
  }

  async #attempt(): Promise<void> {
    const { ports, nothing } = await this.#finder.next(this.#tries >= this.#timing.triesBeforeSearch);
    let refusal: string | undefined;
    for (const candidate of ports) {
      if (this.#closed) return;
      const refused = await this.#open(candidate);
      if (refused === undefined) return;
      if (candidate.isOwn) refusal ??= refused.why;
    }
    if (this.#closed) return;
    this.#sayNotOpened(refusal, nothing);
    this.#tryLater();
  }

  /** @returns undefined where it is open, or the link was closed meanwhile */
  async #open(candidate: Candidate): Promise<Refused | undefined> {
    const { path } = candidate;
    const claim = this.#book.claim(path, this.#kind.name);
    if (typeof claim === 'string') return { why: `${path} is in use for ${claim}; check which path belongs to which.` };
    try {
      const connection = await SerialConnection.open(
        { path, baudRate: this.#kind.baudRate, lineEnding: this.#kind.lineEnding },
        {
          onBytes: (bytes) => this.#line?.hear(bytes),
          onLine: (bytes) => this.#line?.hearLine(bytes),
          onLost: (detail, released) => this.#onLost(detail, released),
        },
        this.#book.system,
      );
      this.#claim = claim;
      this.#onOpened(candidate, connection);
      return undefined;
    } catch (error) {
      claim.release();
      if (error instanceof OpenRefusal && error.isAbsent) return { why: undefined };
      return { why: `${path} cannot be opened: ${error instanceof Error ? error.message : String(error)}.` };
    }
  }

  #onOpened(candidate: Candidate, connection: SerialConnection): void {
    const line = new OpenLine(candidate, connection, {
      clock: this.#ports.clock,
      onRecord: (record) => void this.#teller.record(record),
      onAccepted: (accepted, detail, held) => this.#onAccepted(accepted, detail, held),
      onRemark: ({ path }, detail) => this.#teller.state('running', detail, path),
    });
    this.#line = line;
    if (this.#closed) return;
    // Behind a silence, or at a port that may be another's, an open port is no news yet.
    if (!line.needsProof && this.#teller.change !== 'silent' && this.#teller.change !== 'wrong-device') this.#sayOpened(line);
    line.begin(this.#kind);
  }

  #onAccepted(line: OpenLine, detail: string, held: readonly (LineRecord | ReadingRecord)[]): void {
    this.#finder.found(line.path);
    if (this.#teller.change !== 'opened') this.#sayOpened(line);
    for (const record of held) this.#teller.record(record);
    this.#teller.state('running', detail, line.path, line.arrivedAtNs);
  }

  #onLost(detail: string, released: Promise<void>): void {
    const line = this.#line;
    this.#line = undefined;
    line?.finish();
    const ending = line?.ending ?? { change: 'lost', detail: `Lost: ${detail}.` };
    if (line && ending.change === 'wrong-device') this.#finder.refuse(line.path);
    // What happens at another's port, or behind a wrong device, is no news of this one.
    const isNews = line?.isAccepted || (line?.isOwn && !(line.needsProof && ending.change === 'lost'));
    if (line && isNews) this.#teller.state(ending.change, ending.detail, line.path);
    this.#busy = released.then(() => {
      this.#busy = undefined;
      this.#claim?.release();
      this.#claim = undefined;
      if (!this.#closed) this.#tryLater();
    });
  }

  #tryLater(): void {
    const [first, longest] = this.#timing.retryMs;
    const waitMs = Math.min(first * 2 ** this.#tries, longest);
    this.#tries = Math.min(this.#tries + 1, RETRIES_COUNTED_MAX);
    this.#retryTimer = setTimeout(() => this.#try(), waitMs);
  }

  #sayOpened(line: OpenLine): void {
    this.#teller.state('opened', 'The port is open; nothing heard yet.', line.path, line.openedAtNs);
  }

  /** A lost device stays lost, and a wrong one wrong, as long as nothing more is known. */
  #sayNotOpened(refusal: string | undefined, nothing: string): void {
    const { change } = this.#teller;
    if (refusal !== undefined) this.#say('opening', refusal);
    else if (change === 'silent') this.#say('lost', nothing);
    else if (change !== 'lost' && !(change === 'wrong-device' && this.#isSomethingThere())) this.#say('searching', nothing);
  }

  #isSomethingThere(): boolean {
    return this.#kind.path === undefined || this.#book.system.identityOf(this.#kind.path) !== undefined;
  }

  #say(change: 'searching' | 'opening' | 'lost' | 'closed', detail: string): void {
    this.#teller.state(change, detail, this.#line?.path ?? this.#kind.path ?? '');
  }

  #everyLook(): NodeJS.Timeout {
    let wasAbsent = false;
    return setInterval(() => {
      this.#teller.catchUp();
      this.#line?.look(this.#timing, this.#kind.identity);
      if (this.#line?.isSteady(this.#timing)) this.#tries = 0;
      if (!this.#isSomethingThere()) wasAbsent = true;
      else if (wasAbsent && this.#retryTimer !== undefined) {
        wasAbsent = false;
        clearTimeout(this.#retryTimer);
        this.#tries = 0;
        this.#try();
      }
    }, this.#timing.lookMs);
  }
}
