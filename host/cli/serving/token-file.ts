/** Tokens of one's own, for a host that is started again and again and whose addresses shall stay. */
import { closeSync, fstatSync, openSync, readFileSync } from 'node:fs';
import { z } from 'zod';
import { TOKEN_SHAPE } from '../../serve/index.ts';
import { CommandError, messageOf } from '../output.ts';

const FILE_BYTES_MAX = 4096;
const token = z.string().regex(TOKEN_SHAPE);
const TOKENS = z.strictObject({ look: token.optional(), crew: token }).refine(({ look, crew }) => look !== crew);

export type Tokens = z.output<typeof TOKENS>;

/** @throws CommandError with exit code 2; what stands in the file is never repeated */
export function readTokenFile(file: string): Tokens {
  const parsed = TOKENS.safeParse(jsonOf(textOf(file)));
  if (parsed.success) return parsed.data;
  throw new CommandError(
    `${file} does not hold tokens: write {"look": "…", "crew": "…"}, two different ones of 32 to 128 letters, digits, - or _.`,
    2,
  );
}

function textOf(file: string): string {
  try {
    const fd = openSync(file, 'r');
    try {
      // Of the file that was opened, whatever lies under its name by now.
      const { mode, uid, size } = fstatSync(fd);
      if ((mode & 0o077) !== 0 || (process.getuid !== undefined && uid !== process.getuid())) {
        throw new CommandError(`${file} must be yours, and for nobody else to read or write: chmod 600 ${file}`, 2);
      }
      return size > FILE_BYTES_MAX ? '' : readFileSync(fd, 'utf8');
    } finally {
      closeSync(fd);
    }
  } catch (error) {
    if (error instanceof CommandError) throw error;
    throw new CommandError(`The file of tokens ${file} cannot be read: ${messageOf(error)}`, 2, { cause: error });
  }
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
