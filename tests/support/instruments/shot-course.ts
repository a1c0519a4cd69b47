/** Shots at the first gate board, one every few seconds: the edges that its inputs see, and when it has written them. */
import type { InputEdge } from '../../../firmware-sim/world/gates.ts';
import { decodeBoardLine } from '../../../protocol/index.ts';

export const SHOT_EVERY_S = 5;
/** The board of both gates in `fleetRig`. */
export const SHOT_BOARD = 'gates1';
const SPEED_MPS = 300;
const DIAMETER_M = 0.0598;
const GATES_M = [1.5, 2.5];

/** Times of the machine's monotonic clock, which every process reads alike, ns. */
export interface ShotWritten {
  /** Its firing signal. */
  readonly triggerNs: number;
  /** The last edge of its last gate. */
  readonly lastEdgeNs: number;
}

export class ShotCourse {
  readonly written: ShotWritten[] = [];
  #nextS = Number.POSITIVE_INFINITY;
  #triggerNs = 0;
  #rest = '';

  /** @param nowS  range time */
  begin(nowS: number): void {
    this.#nextS = nowS + 1;
  }

  cease(): void {
    this.#nextS = Number.POSITIVE_INFINITY;
  }

  takeEdges(untilS: number): readonly InputEdge[] {
    const edges: InputEdge[] = [];
    for (; this.#nextS <= untilS; this.#nextS += SHOT_EVERY_S) {
      const atS = this.#nextS;
      const pulse = (input: number, fromS: number, lastsS: number): InputEdge[] => [
        { input, active: true, timeS: fromS },
        { input, active: false, timeS: fromS + lastsS },
      ];
      edges.push(...pulse(0, atS, 1e-3));
      for (const [index, positionM] of GATES_M.entries()) {
        edges.push(...pulse(index + 1, atS + (positionM - DIAMETER_M / 2) / SPEED_MPS, DIAMETER_M / SPEED_MPS));
      }
    }
    return edges;
  }

  /** To be called with every byte that is written to the board's port, right after. */
  readonly look = (bytes: Uint8Array): void => {
    const lines = (this.#rest + Buffer.from(bytes).toString('latin1')).split('\n');
    this.#rest = lines.pop() ?? '';
    for (const line of lines) {
      if (!line.includes('EDGE')) continue;
      const decoded = decodeBoardLine(line);
      if (!decoded.ok || decoded.value.kind !== 'EDGE') continue;
      const { input, active } = decoded.value;
      const nowNs = Number(process.hrtime.bigint());
      if (input === 0 && active) this.#triggerNs = nowNs;
      if (input === GATES_M.length && !active) this.written.push({ triggerNs: this.#triggerNs, lastEdgeNs: nowNs });
    }
  };
}
