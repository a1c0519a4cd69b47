/** The two gate boards behind one face, so that one suite can be held against both: inputs made by hand, lines as they leave. */

import { type AvrBoardOptions, createAvrBoard } from '../../firmware-sim/avr/bench/index.ts';
import type { BoardInputs, TimedBytes } from '../../firmware-sim/boards/gate-board.ts';
import { createGateBoard } from '../../firmware-sim/boards/gate-board.ts';
import type { InputEdge } from '../../firmware-sim/world/gates.ts';
import { type BoardMessage, decodeBoardLine, encodeMessage, type HostMessage, type Sequenced } from '../../protocol/index.ts';

export interface ReceivedLine {
  /** Range time at which its line feed had left. */
  readonly timeS: number;
  readonly line: string;
  readonly message: Sequenced<BoardMessage>;
}

export interface BoardBench {
  /** Every line that left the board up to this time, since the last call. */
  advance(timeS: number): readonly ReceivedLine[];
  say(message: HostMessage, timeS: number): void;
  /** Bytes as they are. */
  send(bytes: Uint8Array, timeS: number): void;
  /** In time order, not before what the board has run to. */
  edges(...edges: readonly InputEdge[]): void;
}

interface Board {
  receive(bytes: Uint8Array, timeS: number): void;
  advanceTo(timeS: number): readonly TimedBytes[];
}

export function benchOf<B extends Board>(make: (inputs: BoardInputs) => B): BoardBench & { readonly board: B } {
  let waiting: readonly InputEdge[] = [];
  let hostSeq = 0;
  let text = '';
  const board = make({
    takeEdges: (untilS) => {
      const taken = waiting.filter(({ timeS }) => timeS <= untilS);
      waiting = waiting.filter(({ timeS }) => timeS > untilS);
      return taken;
    },
    // A ramp in time within ten bits, so that a block's place in time can be read from its counts.
    sampleCounts: (channel, timeS) => channel * 200 + (Math.floor(timeS * 1000) % 200),
  });
  const send = (bytes: Uint8Array, timeS: number): void => board.receive(bytes, timeS);
  return {
    board,
    send,
    advance: (timeS) =>
      board.advanceTo(timeS).flatMap((chunk) => {
        const lines = (text + Buffer.from(chunk.bytes).toString('latin1')).split('\n');
        text = lines.pop() ?? '';
        return lines.filter((line) => line !== '').map((line) => ({ timeS: chunk.timeS, line, message: messageOf(line) }));
      }),
    say: (message, timeS) => send(Buffer.from(`${encodeMessage(message, hostSeq++)}\n`), timeS),
    edges: (...edges) => {
      waiting = [...waiting, ...edges];
    },
  };
}

export const simulatedBench = (seed: number) =>
  benchOf((inputs) =>
    createGateBoard({ seed, inputs, boardId: 'CS-GB-01', baudRate: 500_000, tickRateHz: 16_000_000, tickRateErrorPpmMax: 50 }),
  );

/** @param tickRateErrorPpmMax  0.3 is the least: a quartz that wanders and is right on the average */
export const flashableBench = (
  program: Uint16Array,
  seed: number,
  { eeprom = new Uint8Array(4096).fill(0xff), tickRateErrorPpmMax = 50, wiring = 'xor' }: Partial<AvrBoardOptions> = {},
) => benchOf((inputs) => createAvrBoard({ program, seed, inputs, eeprom, tickRateErrorPpmMax, wiring }));

export const linesOf = <K extends BoardMessage['kind']>(
  received: readonly ReceivedLine[],
  kind: K,
): (Sequenced<BoardMessage> & { kind: K })[] =>
  received.map(({ message }) => message).filter((m): m is Sequenced<BoardMessage> & { kind: K } => m.kind === kind);

function messageOf(line: string): Sequenced<BoardMessage> {
  const decoded = decodeBoardLine(line);
  if (!decoded.ok) throw new Error(`${decoded.fault.code}: ${line}`);
  return decoded.value;
}
