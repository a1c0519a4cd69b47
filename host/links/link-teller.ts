/** Hands a link's records over: in order of time, each state once, and whatever the taker throws kept away from the port. */
import type { LinkChange, PosternRecord } from '../../protocol/index.ts';
import type { SessionClock } from './session-clock.ts';

export interface TellerPorts {
  readonly clock: SessionClock;
  readonly onRecord: (record: PosternRecord) => void;
}

interface LinkState {
  readonly change: LinkChange;
  readonly detail: string;
  readonly path: string;
  readonly atNs: number;
}

export class LinkTeller {
  readonly #source: string;
  readonly #ports: TellerPorts;
  readonly #onRefused: (detail: string) => void;
  #state: LinkState | undefined;
  #isUntold = false;
  #toldNs = 0;
  #hasWarned = false;

  /** @param onRefused  the taker threw: what it said */
  constructor(source: string, ports: TellerPorts, onRefused: (detail: string) => void) {
    this.#source = source;
    this.#ports = ports;
    this.#onRefused = onRefused;
  }

  get change(): LinkChange | undefined {
    return this.#state?.change;
  }

  /** Tells a state, unless it is the one told last. */
  state(change: LinkChange, detail: string, path: string, atNs = this.#ports.clock.nowNs()): void {
    if (this.#state?.change === change && this.#state.detail === detail) return;
    this.catchUp();
    this.#state = { change, detail, path, atNs };
    this.#tellState();
  }

  /** Again what nobody took, if anything. */
  catchUp(): void {
    if (this.#isUntold) this.#tellState();
  }

  /** @returns false where the taker threw */
  record(record: PosternRecord): boolean {
    // Records of one source never step back in time.
    this.#toldNs = Math.max(this.#toldNs, record.atNs);
    try {
      this.#ports.onRecord({ ...record, atNs: this.#toldNs });
      return true;
    } catch (error) {
      const said = error instanceof Error ? error.message : String(error);
      if (!this.#hasWarned) process.emitWarning(`link ${this.#source}: the host could not take a record: ${said}`);
      this.#hasWarned = true;
      this.#onRefused(`The host could not take what came: ${said}`);
      return false;
    }
  }

  #tellState(): void {
    if (this.#state === undefined) return;
    const { change, detail, path, atNs } = this.#state;
    this.#isUntold = false;
    const isTaken = this.record({ kind: 'link', source: this.#source, atNs, value: { change, path, detail } });
    // The refusal may have led to another state, untold too.
    if (!isTaken) this.#isUntold = true;
  }
}
