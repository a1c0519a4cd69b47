/**
 * Where an export goes: to standard output, or to a file that is there only once it is whole. What there was under the
 * name stays, unless it may be written over.
 */
import { once } from 'node:events';
import { createWriteStream, existsSync, renameSync, rmSync } from 'node:fs';
import { finished } from 'node:stream/promises';
import { CommandError, messageOf } from '../output.ts';

export const OVERWRITE_HINT = 'give another name, or --overwrite';

export function refuseToOverwrite(file: string, overwrite: boolean): void {
  if (!overwrite && existsSync(file)) throw new CommandError(`${file} is there already; ${OVERWRITE_HINT}.`, 2);
}

/**
 * @param make  makes the file under the name that it is given
 * @throws CommandError where it could not be made; then nothing of it is left
 */
export async function wholeFile<T>(file: string, make: (part: string) => Promise<T>): Promise<T> {
  const part = `${file}.part`;
  try {
    const made = await make(part);
    renameSync(part, file);
    return made;
  } catch (error) {
    rmSync(part, { force: true });
    if (error instanceof CommandError) throw error;
    throw new CommandError(`${file} cannot be written: ${messageOf(error)}`, 1, { cause: error });
  }
}

/** Some kilobytes at a time, and never faster than they are taken. @returns how many lines */
export async function writeLines(target: string | undefined, lines: AsyncIterable<string>, lineEnd: string): Promise<number> {
  const stream = target === undefined ? process.stdout : createWriteStream(target, { flags: 'w' });
  // A failure is met by `finished` or by the next write; without a listener it would end the process.
  let failure: Error | undefined;
  const onError = (error: Error): void => {
    failure = error;
  };
  stream.on('error', onError);
  let count = 0;
  let waiting = '';
  const drain = async (): Promise<void> => {
    if (failure) throw failure;
    const isTaken = stream.write(waiting);
    waiting = '';
    if (!isTaken && !stream.writableNeedDrain) return;
    if (!isTaken) await Promise.race([once(stream, 'drain'), once(stream, 'close')]);
    if (failure) throw failure;
  };
  try {
    for await (const line of lines) {
      waiting += line + lineEnd;
      count += 1;
      if (waiting.length > 65_536) await drain();
    }
    await drain();
    if (target !== undefined) {
      stream.end();
      await finished(stream);
    }
  } catch (error) {
    if (target !== undefined) stream.destroy();
    // A reader that went away, as `head` does, has what it wanted.
    if (target === undefined && (error as NodeJS.ErrnoException).code === 'EPIPE') return count;
    throw error;
  } finally {
    stream.off('error', onError);
  }
  return count;
}
