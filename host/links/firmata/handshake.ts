/**
 * Who is there, and what can it do: asked by ourselves and again until answered, anew for each connection. The library
 * asks once and waits for ever; a message lost on the line, or a board that is still starting, would be the end.
 */
import type { EventEmitter } from 'node:events';
import type { Firmata } from 'firmata-io';
import { heard } from './waiting.ts';

export interface Identity {
  /** Printable ASCII, at most 64 characters. */
  readonly firmware: string;
  /** Major and minor, as the board says them. */
  readonly version: string;
}

export interface HandshakeTiming {
  /** Between one question and the same again. */
  readonly askMs: number;
  /** For all of it. */
  readonly answerMs: number;
}

interface Writer {
  write(bytes: Buffer): boolean;
}

/** Questions that every Firmata board answers. */
export const ASK = {
  version: Buffer.of(0xf9),
  firmware: Buffer.of(0xf0, 0x79, 0xf7),
  capabilities: Buffer.of(0xf0, 0x6b, 0xf7),
  analogMapping: Buffer.of(0xf0, 0x69, 0xf7),
} as const;

/** @returns undefined where the answers did not come in time, or upon the signal */
export async function shakeHands(io: Firmata, out: Writer, timing: HandshakeTiming, signal: AbortSignal): Promise<Identity | undefined> {
  let questionsLeft = Math.max(1, Math.round(timing.answerMs / timing.askMs));
  const ask = async (question: Buffer, event: string): Promise<boolean> => {
    if (questionsLeft <= 0) return false;
    questionsLeft -= 1;
    const answer = heard(io as EventEmitter, event, timing.askMs, signal);
    out.write(question);
    return answer;
  };
  const askUntil = async (question: Buffer, event: string): Promise<boolean> => {
    while (questionsLeft > 0 && !signal.aborted) if (await ask(question, event)) return true;
    return false;
  };

  if (!(await askUntil(ASK.version, 'reportversion'))) return undefined;
  if (!(await askUntil(ASK.firmware, 'queryfirmware'))) return undefined;
  while (questionsLeft > 0 && !signal.aborted) {
    // The library keeps the first pins that it hears of, and adds every mapping to the last.
    io.pins.length = 0;
    io.analogPins.length = 0;
    io.RESOLUTION.ADC = null;
    if (!(await ask(ASK.capabilities, 'capability-query')) || io.pins.length === 0) continue;
    if (!(await ask(ASK.analogMapping, 'analog-mapping-query'))) continue;
    if (io.pins.every(({ analogChannel }) => analogChannel !== undefined)) return identityOf(io);
  }
  return undefined;
}

function identityOf({ firmware: { name = '', version } }: Firmata): Identity {
  const firmware = name.replace(/[^\x20-\x7e]/g, '?').slice(0, 64);
  return { firmware, version: version ? `${version.major}.${version.minor}` : '?' };
}
