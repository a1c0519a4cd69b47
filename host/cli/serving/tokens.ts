/** `postern tokens FILE`: makes a file of tokens, or puts new ones into it, which withdraws the old. Never says what they are. */
import { renameSync, rmSync, writeFileSync } from 'node:fs';
import { newToken } from '../../serve/index.ts';
import { CommandError, messageOf, say } from '../output.ts';
import type { RENEWABLE } from './renewable-tokens.ts';
import { readTokenFile, type Tokens } from './token-file.ts';

export interface TokensOptions {
  readonly renew?: (typeof RENEWABLE)[number];
}

export function tokens(file: string, { renew }: TokensOptions): void {
  if (renew === undefined) {
    write(file, { look: newToken(), crew: newToken() });
    say(`${file} holds a new token to look and one for the crew. Start the host with --tokens ${file}.`);
    return;
  }
  const before = readTokenFile(file);
  const look = renew === 'crew' ? before.look : newToken();
  const crew = renew === 'look' ? before.crew : newToken();
  replace(file, { ...(look === undefined ? {} : { look }), crew });
  say(`${file} holds ${WORDS[renew]}. Those before are withdrawn when the host that uses them is started anew.`);
}

const WORDS = { look: 'a new token to look', crew: 'a new token for the crew', both: 'two new tokens' } as const;

/** @throws CommandError where something of that name is there, or the system refuses */
function write(file: string, made: Tokens): void {
  try {
    writeFileSync(file, `${JSON.stringify(made)}\n`, { mode: 0o600, flag: 'wx' });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') {
      throw new CommandError(`${file} is there already: --renew look, --renew crew or --renew both puts new tokens into it.`, 2, {
        cause: error,
      });
    }
    throw new CommandError(`${file} cannot be written: ${messageOf(error)}`, 1, { cause: error });
  }
}

/** Beside it and then in its place: the file is never half a file. */
function replace(file: string, made: Tokens): void {
  const fresh = `${file}.${process.pid}`;
  write(fresh, made);
  try {
    renameSync(fresh, file);
  } catch (error) {
    rmSync(fresh, { force: true });
    throw new CommandError(`${file} cannot be written: ${messageOf(error)}`, 1, { cause: error });
  }
}
