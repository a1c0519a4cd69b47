import { decodeBoardLine } from '../../protocol/index.ts';

const HELLO = Buffer.from('HELLO ', 'latin1');

/** @returns who a gate board says it is, where the line is its sound HELLO */
export function boardIdOf(line: Uint8Array): string | undefined {
  // Asked of every line that comes, and all but a few are samples: those are taken apart once, by the pipeline.
  for (let i = 0; i < HELLO.length; i += 1) if (line[i] !== HELLO[i]) return undefined;
  const decoded = decodeBoardLine(Buffer.from(line.buffer, line.byteOffset, line.byteLength).toString('latin1'));
  return decoded.ok && decoded.value.kind === 'HELLO' ? decoded.value.boardId : undefined;
}
