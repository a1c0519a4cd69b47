/**
 * An instrument that prints lines: by its own period, or when it is asked. What it prints follows from functions of
 * range time, so a run repeats to the byte; its faults come from the seed. It speaks through the same wires as a board.
 */
import { type Random, randomStream } from '../world/random.ts';
import type { TimedBytes } from './gate-board.ts';
import { createLineReader } from './line-reader.ts';

export interface TextInstrumentOptions {
  readonly seed: number;
  /** Of its stream of chance. */
  readonly name: string;
  readonly baudRate: number;
  /** One line, without its ending, as of this range time. */
  readonly print: (timeS: number) => string;
  readonly when: { readonly periodS: number } | { readonly poll: string; readonly answersAfterS: number };
  readonly lineEnding?: '\r\n' | '\n' | '\r';
  /** Probability of each, for one line. */
  readonly faults?: Partial<Readonly<Record<TextInstrumentFault, number>>>;
}

/** garbage: noise in its place; truncated: cut, with its ending; missed: not printed at all. */
export type TextInstrumentFault = 'garbage' | 'truncated' | 'missed';

export interface TextInstrument {
  receive(bytes: Uint8Array, timeS: number): void;
  /** @returns lines that have left by this time, one chunk each */
  advanceTo(timeS: number): readonly TimedBytes[];
  /** Whole and right lines since the start. */
  readonly soundLines: number;
}

/** Questions waiting; of more the newest is not answered. */
const QUESTIONS_MAX = 4;
const QUESTION_BYTES_MAX = 128;

export function createTextInstrument(options: TextInstrumentOptions): TextInstrument {
  const { when, print, faults = {}, lineEnding = '\r\n' } = options;
  const random = randomStream(options.seed, `text-instrument/${options.name}`);
  const reader = createLineReader(QUESTION_BYTES_MAX);
  const bytesPerS = options.baudRate / 10;
  let printed = 0;
  let soundLines = 0;
  let lineFreeAtS = 0;
  let answersAtS: readonly number[] = [];
  let leaving: readonly TimedBytes[] = [];

  const send = (atS: number): void => {
    const text = print(atS);
    const spoilt = withFault(Buffer.from(text, 'utf8'), faults, random);
    if (spoilt === undefined) soundLines += 1;
    if (spoilt?.length === 0) return;
    const bytes = Buffer.concat([spoilt ?? Buffer.from(text, 'utf8'), Buffer.from(lineEnding, 'latin1')]);
    lineFreeAtS = Math.max(lineFreeAtS, atS) + bytes.length / bytesPerS;
    leaving = [...leaving, { timeS: lineFreeAtS, bytes }];
  };

  const run = (untilS: number): void => {
    if ('periodS' in when) {
      for (; (printed + 1) * when.periodS <= untilS; printed += 1) send((printed + 1) * when.periodS);
      return;
    }
    for (const atS of answersAtS.filter((due) => due <= untilS)) send(atS);
    answersAtS = answersAtS.filter((due) => due > untilS);
  };

  return {
    receive: (bytes, timeS) => {
      run(timeS);
      for (const line of reader.push(bytes)) {
        const asked = 'poll' in when && line?.trim() === when.poll && answersAtS.length < QUESTIONS_MAX;
        if (asked) answersAtS = [...answersAtS, timeS + when.answersAfterS];
      }
    },
    advanceTo: (timeS) => {
      run(timeS);
      const gone = leaving.filter((chunk) => chunk.timeS <= timeS);
      leaving = leaving.filter((chunk) => chunk.timeS > timeS);
      return gone;
    },
    get soundLines() {
      return soundLines;
    },
  };
}

/** @returns what is printed instead, nothing where the line is missed; undefined where it is sound */
function withFault(line: Buffer, faults: NonNullable<TextInstrumentOptions['faults']>, random: Random): Uint8Array | undefined {
  const happens = (fault: TextInstrumentFault): boolean => random.uniform() < (faults[fault] ?? 0);
  // All three are drawn, so that one more kind of fault moves no draw of another.
  const [isMissed, isGarbage, isTruncated] = [happens('missed'), happens('garbage'), happens('truncated')];
  if (isMissed) return new Uint8Array(0);
  if (isGarbage) return Uint8Array.from({ length: 1 + random.integer(60) }, () => random.integer(256));
  if (isTruncated) return line.subarray(0, 1 + random.integer(Math.max(1, line.length - 1)));
  return undefined;
}
