/** Questions on the terminal, for the guided steps. */
import { createInterface } from 'node:readline/promises';
import { CommandError } from '../output.ts';
import { terminalText } from '../text/terminal-text.ts';

export interface Asker {
  /** @returns what was typed, without the spaces around it */
  ask(question: string): Promise<string>;
  close(): void;
}

/** @throws CommandError (on asking) where nobody is there to answer */
export function terminalAsker(instead: string): Asker {
  if (!process.stdin.isTTY) {
    return {
      ask: () => Promise.reject(new CommandError(`Nobody is at the terminal to answer; ${instead}.`, 2)),
      close: () => undefined,
    };
  }
  const lines = createInterface({ input: process.stdin, output: process.stdout });
  // Ctrl-C and Ctrl-D leave everything as it was.
  const gone = new Promise<never>((_, reject) => lines.once('close', () => reject(new CommandError('Nothing was changed.', 130))));
  gone.catch(() => undefined);
  return {
    ask: async (question) => (await Promise.race([lines.question(terminalText(question)), gone])).trim(),
    close: () => lines.close(),
  };
}

/** @throws CommandError where the answer is not yes */
export async function confirm(asker: Asker, question: string): Promise<void> {
  const answer = await asker.ask(`${question} [y/N] `);
  if (!/^y(es)?$/i.test(answer)) throw new CommandError('Nothing was changed.', 1);
}

export async function nameOf(asker: Asker, given: string | undefined): Promise<string> {
  return given ?? (await asker.ask('Your name: '));
}
