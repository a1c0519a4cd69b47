/**
 * The server's log. What comes over the network is in it only as far as an error of ours says it, never a request's head
 * or body: they may hold a token, and text that acts on the terminal on which the log is read.
 */
import { type DestinationStream, type Logger, type LoggerOptions, pino } from 'pino';

/** @param to  left out: nowhere @param more  what else each line says */
export function serverLog(to?: DestinationStream, more: LoggerOptions = {}): Logger {
  const options = { ...more, level: to ? 'info' : 'silent', serializers: { err: sayError } };
  return to ? pino(options, { write: (line) => to.write(shown(line)) }) : pino(options);
}

/** Of an error only what it is: others hang the bytes that they could not read onto it. */
function sayError(error: Error & { readonly code?: unknown }): object {
  const { name, message, stack, code } = error;
  return { type: name, message, stack, ...(typeof code === 'string' ? { code } : {}) };
}

/** JSON lets these stand as they are: terminals take the first for orders, and the others turn text round. */
const UNSHOWABLE = /[\u007f-\u009f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu;

const shown = (line: string): string =>
  line.replace(UNSHOWABLE, (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`);
