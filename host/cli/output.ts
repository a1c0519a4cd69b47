/** Where a command's words go: people read standard output, trouble goes to standard error as one plain sentence. */
import { writeFileSync } from 'node:fs';
import { terminalJson, terminalText } from './text/terminal-text.ts';

/** A command could not do what was asked; the message is the sentence that the user reads, or several, each on its line. */
export class CommandError extends Error {
  readonly exitCode: number;

  constructor(message: string, exitCode = 1, options?: ErrorOptions) {
    super(message, options);
    this.exitCode = exitCode;
  }
}

/** @param line  one line; whatever stands in it, it stays one and is only shown */
export const say = (line: string): void => {
  process.stdout.write(`${terminalText(line)}\n`);
};

/** @param line  as `say` takes it */
export const warn = (line: string): void => {
  process.stderr.write(`${terminalText(line)}\n`);
};

/**
 * Whoever reads the output may go away (`| head`, a closed terminal), and the disk below it may be full: neither may end
 * a measurement. A reader that is gone is no failure; what could not be written otherwise is told once and gives exit code 1.
 */
export function outliveOutput(): void {
  let isTold = false;
  process.stderr.on('error', () => undefined);
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    const isReaderGone = error.code === 'EPIPE' || (error.code === 'EIO' && process.stdout.isTTY);
    if (isReaderGone || isTold) return;
    isTold = true;
    process.exitCode = 1;
    warn(`Standard output cannot be written: ${error.message}`);
  });
}

/** `--json` alone writes to standard output, `--json FILE` to the file. */
export function writeJson(target: string | true, value: unknown): void {
  const text = `${terminalJson(JSON.stringify(value, undefined, 2))}\n`;
  if (target === true) process.stdout.write(text);
  else writeFileSync(target, text);
}

/** What an unknown thrown thing says. */
export const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));
