/** One opening of a port: what its driver sees of it, the driver's exceptions caught, its silence and its proof watched. */
import type { LineRecord, ReadingRecord } from '../../protocol/index.ts';
import type { Conversation, DeviceKind, DeviceLine } from './device.ts';
import type { LinkTiming } from './link-timing.ts';
import type { Candidate } from './port-finder.ts';
import type { SerialConnection } from './serial-connection.ts';
import type { SessionClock } from './session-clock.ts';

/** Why an opening ended, and what its link is then. */
export interface Ending {
  readonly change: 'lost' | 'silent' | 'wrong-device';
  readonly detail: string;
}

export interface OpenLinePorts {
  readonly clock: SessionClock;
  readonly onRecord: (record: LineRecord | ReadingRecord) => void;
  /** Once, with the records that were held back. */
  readonly onAccepted: (line: OpenLine, detail: string, held: readonly (LineRecord | ReadingRecord)[]) => void;
  readonly onRemark: (line: OpenLine, detail: string) => void;
}

/** Records held back for proof; of more the oldest are dropped. A board says who it is within a few lines. */
const HELD_MAX = 1024;

export class OpenLine implements DeviceLine {
  readonly path: string;
  readonly isOwn: boolean;
  readonly needsProof: boolean;
  readonly openedAtNs: number;
  readonly #connection: SerialConnection;
  readonly #ports: OpenLinePorts;
  readonly #timers = new Set<NodeJS.Timeout>();
  #conversation: Conversation = {};
  #held: (LineRecord | ReadingRecord)[] = [];
  #isAccepted = false;
  #isOver = false;
  /** Its driver has failed: nothing but the end is told to it any more. */
  #isDeaf = false;
  #ending: Ending | undefined;
  #arrivedAtNs = 0;
  #looks = 0;
  /** Looks in a row since the newest byte. */
  #silentLooks = 0;
  #steadyLooks = 0;

  constructor({ path, isOwn, needsProof }: Candidate, connection: SerialConnection, ports: OpenLinePorts) {
    this.path = path;
    this.isOwn = isOwn;
    this.needsProof = needsProof;
    this.openedAtNs = ports.clock.nowNs();
    this.#connection = connection;
    this.#ports = ports;
  }

  get arrivedAtNs(): number {
    return this.#arrivedAtNs;
  }

  get pendingBytes(): number {
    return this.#connection.pendingBytes;
  }

  get isAccepted(): boolean {
    return this.#isAccepted;
  }

  get ending(): Ending | undefined {
    return this.#ending;
  }

  begin(kind: DeviceKind): void {
    this.#guard(() => {
      this.#conversation = kind.converse(this);
    });
  }

  hear(bytes: Uint8Array): void {
    this.#arrivedAtNs = this.#ports.clock.nowNs();
    this.#silentLooks = 0;
    if (!this.#isDeaf) this.#guard(() => this.#conversation.onBytes?.(bytes));
  }

  hearLine(bytes: Uint8Array): void {
    if (!this.#isDeaf) this.#guard(() => this.#conversation.onLine?.(bytes));
  }

  write(bytes: Uint8Array): boolean {
    return !this.#isOver && this.#connection.write(bytes);
  }

  record(record: LineRecord | ReadingRecord): void {
    // What a wrong device said in the same breath.
    if (this.#ending?.change === 'wrong-device') return;
    if (this.#isAccepted || !this.needsProof) this.#ports.onRecord(record);
    else this.#held = [...this.#held.slice(1 - HELD_MAX), record];
  }

  accept(detail: string): void {
    if (this.#isAccepted || this.#ending !== undefined) return;
    this.#isAccepted = true;
    const held = this.#held;
    this.#held = [];
    this.#ports.onAccepted(this, detail, held);
  }

  remark(detail: string): void {
    if (this.#isAccepted && this.#ending === undefined && !this.#isOver) this.#ports.onRemark(this, detail);
  }

  refuse(detail: string): void {
    this.end({ change: 'wrong-device', detail });
  }

  fail(detail: string): void {
    this.end({ change: 'lost', detail });
  }

  after(delayMs: number, act: () => void): void {
    if (this.#isOver) return;
    const timer = setTimeout(() => {
      this.#timers.delete(timer);
      this.#guard(act);
    }, delayMs);
    this.#timers.add(timer);
  }

  /** The first reason stands. */
  end(ending: Ending): void {
    this.#ending ??= ending;
    this.#connection.lose(ending.detail);
  }

  /** Closes the port and tells nobody. */
  async close(): Promise<void> {
    await this.#connection.close();
    this.finish();
  }

  /** The port is gone: ends the driver's timers and tells it. */
  finish(): void {
    if (this.#isOver) return;
    this.#isOver = true;
    for (const timer of this.#timers) clearTimeout(timer);
    this.#timers.clear();
    this.#held = [];
    this.#guard(() => this.#conversation.onClosed?.());
  }

  /**
   * Silence is counted in looks, not read from a clock: after the process itself stood still (a paused laptop) the
   * bytes that wait in the system are read before the next look.
   */
  look(timing: LinkTiming, identity: string | undefined): void {
    this.#looks += 1;
    this.#silentLooks += 1;
    if (this.#isAccepted) this.#steadyLooks += 1;
    const whole = (looks: number): number => looks * timing.lookMs;
    const isUnproved = !this.#isAccepted && (this.needsProof || this.#arrivedAtNs > 0);
    if (this.#connection.isReplaced) this.fail(`The port ${this.path} went away; it is opened again as soon as it is back.`);
    else if (isUnproved && whole(this.#looks) >= timing.proofMs)
      this.refuse(
        `What is at ${this.path} does not answer as ${identity ?? 'the device that the rig file names'}. Check what is plugged in there.`,
      );
    else if (!(this.needsProof && isUnproved) && whole(this.#silentLooks) >= timing.silenceMs)
      this.end({
        change: 'silent',
        detail: `Nothing heard for ${timing.silenceMs / 1000} s; the port is opened anew until something comes.`,
      });
  }

  isSteady(timing: LinkTiming): boolean {
    return this.#steadyLooks * timing.lookMs >= timing.steadyMs;
  }

  #guard(act: () => void): void {
    try {
      act();
    } catch (error) {
      this.#isDeaf = true;
      const said = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
      this.fail(`The host's driver for it failed (${said.slice(0, 200)}); the port is opened anew.`);
    }
  }
}
