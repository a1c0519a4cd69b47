import path from 'node:path';
import { BOARDS, type BoardName } from './range.ts';
import { openPtyWire, type PtyWire } from './wires/pty.ts';

export type RangeWires = Readonly<Record<BoardName, PtyWire>>;

/**
 * A pseudo-terminal for every board of the range, each by its board's name in the folder.
 * @throws Error where one cannot be opened; those that were are closed again
 */
export async function openWires(folder: string): Promise<RangeWires> {
  const opened: [BoardName, PtyWire][] = [];
  try {
    for (const board of BOARDS) opened.push([board, await openPtyWire(path.resolve(folder, board))]);
  } catch (error) {
    await Promise.all(opened.map(([, wire]) => wire.close()));
    throw error;
  }
  return Object.fromEntries(opened) as Record<BoardName, PtyWire>;
}

export async function closeWires(wires: RangeWires): Promise<void> {
  await Promise.all(BOARDS.map((board) => wires[board].close()));
}
