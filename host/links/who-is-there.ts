/**
 * What is plugged in at a port, for somebody who begins a rig file: it is opened at usual baud rates, asked what gate boards
 * and Firmata boards answer to, and listened to. Nothing is kept open.
 */
import { decodeBoardLine, encodeMessage } from '../../protocol/index.ts';
import { boardIdOf } from './gate-identity.ts';
import { MACHINE_PORTS, type PortSystem } from './port-system.ts';
import { OpenRefusal, SerialConnection } from './serial-connection.ts';

export type Heard =
  | { readonly kind: 'gate-board'; readonly baudRate: number; readonly boardId?: string }
  | { readonly kind: 'firmata'; readonly baudRate: number; readonly firmware: string }
  | { readonly kind: 'text'; readonly baudRate: number; readonly line: string }
  | { readonly kind: 'nothing'; readonly why: string };

/** The likeliest first. */
const BAUD_RATES = [500_000, 57_600, 115_200, 9600, 4800];
/** A board that is reset by the opening takes a second or two to begin. */
const LISTEN_MS = 2_500;
const ASK_EVERY_MS = 500;
/** Of what is heard at one rate. */
const BYTES_MAX = 16 * 1024;
const LINE_CHARACTERS_MAX = 200;
const WHO = Buffer.from(`\n${encodeMessage({ kind: 'WHO' }, 0)}\n`, 'latin1');
/** Firmata: report the firmware's name. */
const ASK_FIRMWARE = Buffer.of(0xf0, 0x79, 0xf7);
const FIRMATA_BAUD_RATE = 57_600;

export const LISTENING_MS_MAX = BAUD_RATES.length * LISTEN_MS;

/** @returns what answered first; never throws, a port that cannot be opened is told in words */
export async function whoIsThere(path: string, system: PortSystem = MACHINE_PORTS): Promise<Heard> {
  try {
    for (const baudRate of BAUD_RATES) {
      const heard = await listen(path, baudRate, system);
      if (heard) return heard;
    }
  } catch (error) {
    if (!(error instanceof OpenRefusal)) throw error;
    return { kind: 'nothing', why: error.message };
  }
  return { kind: 'nothing', why: `nothing was heard that is understood, at ${BAUD_RATES.join(', ')} baud` };
}

async function listen(path: string, baudRate: number, system: PortSystem): Promise<Heard | undefined> {
  let bytes = Buffer.alloc(0);
  let isOver = (): void => undefined;
  const over = new Promise<void>((resolve) => {
    isOver = resolve;
  });
  const ports = {
    onBytes: (more: Uint8Array) => {
      bytes = Buffer.concat([bytes, more]).subarray(-BYTES_MAX);
      if (certain(bytes, baudRate)) isOver();
    },
    onLine: () => undefined,
    onLost: () => isOver(),
  };
  const connection = await SerialConnection.open({ path, baudRate, lineEnding: undefined }, ports, system);
  const question = baudRate === FIRMATA_BAUD_RATE ? ASK_FIRMWARE : WHO;
  const ask = (): boolean => connection.write(question);
  ask();
  const asking = setInterval(ask, ASK_EVERY_MS);
  const enough = setTimeout(() => isOver(), LISTEN_MS);
  await over;
  clearInterval(asking);
  clearTimeout(enough);
  await connection.close();
  return certain(bytes, baudRate) ?? likely(bytes, baudRate);
}

/** It said who it is. */
function certain(bytes: Buffer, baudRate: number): Heard | undefined {
  for (const line of wholeLines(bytes)) {
    const boardId = boardIdOf(Buffer.from(line, 'latin1'));
    if (boardId !== undefined) return { kind: 'gate-board', baudRate, boardId };
  }
  const firmware = firmwareIn(bytes);
  return firmware === undefined ? undefined : { kind: 'firmata', baudRate, firmware };
}

/** By how it talks: at a wrong rate no two lines in a row can be read. */
function likely(bytes: Buffer, baudRate: number): Heard | undefined {
  const lines = wholeLines(bytes);
  if (lines.some((line) => decodeBoardLine(line).ok)) return { kind: 'gate-board', baudRate };
  const [last, before] = [lines.at(-1), lines.at(-2)];
  if (last === undefined || before === undefined || !isReadable(last) || !isReadable(before)) return undefined;
  return { kind: 'text', baudRate, line: last };
}

const isReadable = (line: string): boolean => line.length <= LINE_CHARACTERS_MAX && /^[ -~]*[0-9A-Za-z][ -~]*$/.test(line);

/** The first may be the end of one. */
function wholeLines(bytes: Buffer): readonly string[] {
  return bytes
    .toString('latin1')
    .split(/\r\n|\n|\r/)
    .slice(1, -1)
    .filter((line) => line !== '');
}

/** Name and version of a firmware report: F0 79, major, minor, characters of two bytes each, F7. */
function firmwareIn(bytes: Buffer): string | undefined {
  const from = bytes.indexOf(Buffer.of(0xf0, 0x79));
  const to = from < 0 ? -1 : bytes.indexOf(0xf7, from);
  // A report without a name has its version at least.
  if (to < from + 4 || to < 0) return undefined;
  const codes = bytes.subarray(from + 4, to);
  const name = Array.from({ length: Math.floor(codes.length / 2) }, (_, i) => (codes[2 * i] ?? 0) + 128 * (codes[2 * i + 1] ?? 0));
  const text = name.map((code) => (code >= 0x20 && code < 0x7f ? String.fromCharCode(code) : '?')).join('');
  return `${text.slice(0, 64)} ${bytes[from + 2]}.${bytes[from + 3]}`.trim();
}
