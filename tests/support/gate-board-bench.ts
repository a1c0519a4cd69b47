/** The simulated gate board with inputs made by hand, and what it sends read as a host reads it. */
import { expect } from 'vitest';
import { createGateBoard, type GateBoard } from '../../firmware-sim/boards/gate-board.ts';
import type { InputEdge } from '../../firmware-sim/world/gates.ts';
import { type BoardMessage, decodeBoardLine, encodeMessage, type HostMessage, type Sequenced } from '../../protocol/index.ts';

export interface Received {
  readonly timeS: number;
  readonly line: string;
  readonly message: Sequenced<BoardMessage>;
}

export interface Bench {
  readonly board: GateBoard;
  /** Everything that left the board up to this time, since the last call. */
  advance(timeS: number): readonly Received[];
  say(message: HostMessage, timeS: number): void;
  edges(...edges: readonly InputEdge[]): void;
}

export function bench({ baudRate = 500_000, seed = 3 } = {}): Bench {
  let waiting: readonly InputEdge[] = [];
  const board = createGateBoard({
    seed,
    baudRate,
    boardId: 'CS-GB-01',
    tickRateHz: 16_000_000,
    tickRateErrorPpmMax: 50,
    inputs: {
      takeEdges: (untilS) => {
        const taken = waiting.filter(({ timeS }) => timeS <= untilS);
        waiting = waiting.filter(({ timeS }) => timeS > untilS);
        return taken;
      },
      // A ramp in time, so that a block's place in time can be read from its counts.
      sampleCounts: (channel, timeS) => (channel * 1000 + Math.round(timeS * 20_000)) & 0xffff,
    },
  });
  let hostSeq = 0;
  return {
    board,
    advance: (timeS) =>
      board.advanceTo(timeS).map((chunk) => {
        const text = Buffer.from(chunk.bytes).toString('latin1');
        const line = /^\n?([^\n]+)\n$/.exec(text)?.[1] ?? '';
        expect(text.startsWith('\n')).toBe(line.startsWith('HELLO 00000000 '));
        const decoded = decodeBoardLine(line);
        if (!decoded.ok) throw new Error(`${decoded.fault.code}: ${line}`);
        return { timeS: chunk.timeS, line, message: decoded.value };
      }),
    say: (message, timeS) => board.receive(Buffer.from(`${encodeMessage(message, hostSeq++)}\n`), timeS),
    edges: (...edges) => {
      waiting = [...waiting, ...edges];
    },
  };
}

export const of = <K extends BoardMessage['kind']>(received: readonly Received[], kind: K): (Sequenced<BoardMessage> & { kind: K })[] =>
  received.map(({ message }) => message).filter((m): m is Sequenced<BoardMessage> & { kind: K } => m.kind === kind);

export const pulses = (count: number, fromS: number): InputEdge[] =>
  Array.from({ length: count }, (_, i) => ({ input: 1 + ((i >> 1) % 4), active: i % 2 === 0, timeS: fromS + i * 1e-4 }));

export const bootIdOf = (received: readonly Received[]): number => of(received, 'HELLO')[0]?.bootId ?? -1;
