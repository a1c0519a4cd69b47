/** A board's wire with a witness at the board's end: which edges it sent, and what it was told may be let go. */
import type { Wire } from '../../../firmware-sim/wires/wire.ts';
import { decodeBoardLine, decodeHostLine } from '../../../protocol/index.ts';

export interface SentEdge {
  /** The frame, byte for byte: what a journal that has it must hold. */
  readonly line: string;
  readonly input: number;
  readonly active: boolean;
  readonly ticks: number;
}

export class Witness {
  /** By frame number. One start of the board is enough for a run. */
  readonly edges = new Map<number, SentEdge>();
  /** Each acknowledgement, with what the run was at when it came. */
  readonly acknowledged: { readonly upToSeq: number; readonly at: number }[] = [];
  /** To be moved on by whoever runs it. */
  at = 0;

  tap(wire: Wire): Wire {
    const fromBoard = linesTo((line) => {
      const decoded = decodeBoardLine(line);
      if (!decoded.ok || decoded.value.kind !== 'EDGE') return;
      const { seq, input, active, ticks } = decoded.value;
      this.edges.set(seq, { line, input, active, ticks });
    });
    const fromHost = linesTo((line) => {
      const decoded = decodeHostLine(line);
      if (decoded.ok && decoded.value.kind === 'ACK') this.acknowledged.push({ upToSeq: decoded.value.upToSeq, at: this.at });
    });
    return {
      onData: (listener) =>
        wire.onData((bytes) => {
          fromHost(bytes);
          listener(bytes);
        }),
      write: (bytes) => {
        fromBoard(bytes);
        wire.write(bytes);
      },
      unplug: () => wire.unplug(),
      replug: () => wire.replug(),
      close: () => wire.close(),
    };
  }
}

function linesTo(onLine: (line: string) => void): (bytes: Uint8Array) => void {
  let rest = '';
  return (bytes) => {
    const lines = (rest + Buffer.from(bytes).toString('latin1')).split('\n');
    rest = lines.pop() ?? '';
    for (const line of lines) if (line !== '') onLine(line);
  };
}
