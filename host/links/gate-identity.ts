import { decodeBoardLine } from '../../protocol/index.ts';

/** @returns who a gate board says it is, where the line is its sound HELLO */
export function boardIdOf(line: Uint8Array): string | undefined {
  const decoded = decodeBoardLine(Buffer.from(line.buffer, line.byteOffset, line.byteLength).toString('latin1'));
  return decoded.ok && decoded.value.kind === 'HELLO' ? decoded.value.boardId : undefined;
}
