import { open } from 'node:fs/promises';
import { RIG_FILE_BYTES_MAX } from '../../rig/index.ts';

export type RigText = { readonly ok: true; readonly text: string } | { readonly ok: false; readonly message: string };

/** The file's text, of which no more is read than a rig file may have. A file that cannot be read gives one sentence. */
export async function readRigText(rigFile: string): Promise<RigText> {
  try {
    const file = await open(rigFile, 'r');
    try {
      const bytes = new Uint8Array(RIG_FILE_BYTES_MAX + 1);
      const text = decode(bytes.subarray(0, await fill(file, bytes)));
      return text === undefined ? { ok: false, message: `${rigFile} is not UTF-8 text; is it a rig file?` } : { ok: true, text };
    } finally {
      await file.close();
    }
  } catch (error) {
    return { ok: false, message: `${rigFile} cannot be read: ${reason(error)}` };
  }
}

/** A read may be short. @returns bytes read */
async function fill(file: Awaited<ReturnType<typeof open>>, bytes: Uint8Array): Promise<number> {
  let filled = 0;
  while (filled < bytes.length) {
    const { bytesRead } = await file.read(bytes, filled, bytes.length - filled, null);
    if (bytesRead === 0) break;
    filled += bytesRead;
  }
  return filled;
}

function decode(bytes: Uint8Array): string | undefined {
  // What is cut off at the bound may end within a character, and is refused for its size anyway.
  const stream = bytes.length > RIG_FILE_BYTES_MAX;
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream });
  } catch {
    return undefined;
  }
}

function reason(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'ENOENT') return 'there is no such file; check its name';
  if (code === 'EISDIR') return 'it is a folder; name the rig file in it';
  if (code === 'EACCES') return 'this user may not read it; change its permissions';
  return error instanceof Error ? error.message : String(error);
}
