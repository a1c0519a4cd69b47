/** What the board itself knows of its edges: what it saw, what it was told to forget, what it lost in a restart. */
import type { EdgeWatch } from '../../firmware-sim/boards/gate-board.ts';

export interface NumberedEdge {
  readonly bootId: number;
  readonly seq: number;
  /** Its line, as often as it is sent. */
  readonly line: string;
}

export class EdgeLedger implements EdgeWatch {
  captures = 0;
  /** Of those, refused because the edge memory was full. */
  refused = 0;
  /** Captured and without a number yet, in the present boot. */
  unnumbered = 0;
  /** Still the board's to send again, oldest first. */
  held: NumberedEdge[] = [];
  /** Let go after a host's acknowledgement. */
  readonly letGo: NumberedEdge[] = [];
  /** Gone in a restart without an acknowledgement, those without a number not counted. */
  readonly lost: NumberedEdge[] = [];
  lostUnnumbered = 0;

  captured(_bootId: number, _edge: unknown, kept: boolean): void {
    this.captures += 1;
    if (kept) this.unnumbered += 1;
    else this.refused += 1;
  }

  numbered(bootId: number, seq: number, line: string): void {
    this.unnumbered -= 1;
    this.held.push({ bootId, seq, line });
  }

  released(_bootId: number, upToSeq: number): void {
    this.letGo.push(...this.held.filter(({ seq }) => seq <= upToSeq));
    this.held = this.held.filter(({ seq }) => seq > upToSeq);
  }

  restarted(): void {
    this.lost.push(...this.held);
    this.lostUnnumbered += this.unnumbered;
    this.held = [];
    this.unnumbered = 0;
  }
}
