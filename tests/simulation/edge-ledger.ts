/** What the board itself knows of its edges: what it saw, what it was told to forget, what it lost in a restart. */
import type { EdgeWatch } from '../../firmware-sim/boards/gate-board.ts';
import type { InputEdge } from '../../firmware-sim/world/gates.ts';
import { decodeBoardLine } from '../../protocol/index.ts';

export interface NumberedEdge {
  readonly seq: number;
  /** Its line, as often as it is sent. */
  readonly line: string;
  /** When it truly was, range time. */
  readonly timeS: number;
}

export class EdgeLedger implements EdgeWatch {
  captures = 0;
  /** Of those, refused because the edge memory was full. */
  refused = 0;
  /** Still the board's to send again, oldest first. */
  held: NumberedEdge[] = [];
  /** Let go after a host's acknowledgement. */
  readonly letGo: NumberedEdge[] = [];
  /** When edges truly were that went in a restart, before anybody was told that they are safe. */
  readonly lostAtS: number[] = [];
  /** By the board's ticks: when those edges truly were. */
  readonly timesOfTicks = new Map<number, number>();
  #unnumbered: InputEdge[] = [];

  /** Captured and without a number yet. */
  get unnumbered(): number {
    return this.#unnumbered.length;
  }

  captured(_bootId: number, edge: InputEdge, kept: boolean): void {
    this.captures += 1;
    if (kept) this.#unnumbered.push(edge);
    else this.refused += 1;
  }

  numbered(_bootId: number, seq: number, line: string): void {
    const edge = this.#unnumbered.shift();
    const decoded = decodeBoardLine(line);
    if (edge === undefined || !decoded.ok || decoded.value.kind !== 'EDGE')
      throw new Error(`a numbered edge that was never captured: ${line}`);
    this.timesOfTicks.set(decoded.value.ticks, edge.timeS);
    this.held.push({ seq, line, timeS: edge.timeS });
  }

  released(_bootId: number, upToSeq: number): void {
    this.letGo.push(...this.held.filter(({ seq }) => seq <= upToSeq));
    this.held = this.held.filter(({ seq }) => seq > upToSeq);
  }

  restarted(): void {
    this.lostAtS.push(...[...this.held, ...this.#unnumbered].map(({ timeS }) => timeS));
    this.held = [];
    this.#unnumbered = [];
  }
}
