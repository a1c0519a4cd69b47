/** Whose records stood in damaged bytes: a flipped bit leaves most of a record as it was. */
import type { ByteWindow } from './byte-window.ts';
import { KIND_OF_CODE, MESSAGE, OPCODE } from './layout.ts';
import { framedBytes } from './parts.ts';

const RECORDS_MAX = 4096;
const SOURCES_MAX = 16;

/**
 * Follows the records' lengths as far as they lead, and believes a source only where it is one that sound records name.
 * @param known  sources of the sound records before
 */
export function sourcesIn(
  window: ByteWindow,
  { fromByte, toByte }: { readonly fromByte: number; readonly toByte: number },
  known: ReadonlySet<string>,
): readonly string[] {
  const found = new Set<string>();
  let at = fromByte;
  for (let n = 0; n < RECORDS_MAX && at < toByte && found.size < SOURCES_MAX; n += 1) {
    const source = sourceAt(window, at);
    if (source !== undefined && known.has(source)) found.add(source);
    const framed = framedBytes(window, at);
    if (framed === undefined) break;
    at += framed;
  }
  return [...found];
}

function sourceAt(window: ByteWindow, at: number): string | undefined {
  const head = window.at(at, MESSAGE.source);
  if (head === undefined || (head[0] !== OPCODE.message && !KIND_OF_CODE.has(head[MESSAGE.kind] ?? 0))) return undefined;
  const bytes = head[MESSAGE.sourceBytes] ?? 0;
  return window.at(at + MESSAGE.source, bytes)?.toString('utf8');
}
