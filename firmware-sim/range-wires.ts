/** The pseudo-terminals of the simulated range, each under its board's name in one folder. */
import path from 'node:path';
import { openPtyWire, type PtyWire } from './wires/pty.ts';

export const WIRE_NAMES = ['gate-board', 'weather-board', 'fill-gauge'] as const;

export interface RangeWires {
  readonly paths: readonly string[];
  readonly wire: PtyWire;
  readonly weatherWire: PtyWire;
  readonly gaugeWire: PtyWire;
  close(): Promise<void>;
}

/**
 * All of them or none.
 * @throws Error where one of the paths is taken, or the system has no pseudo-terminals
 */
export async function openRangeWires(folder: string): Promise<RangeWires> {
  const opened: PtyWire[] = [];
  const close = async (): Promise<void> => {
    for (const wire of opened) await wire.close();
  };
  const paths = WIRE_NAMES.map((name) => path.resolve(folder, name));
  try {
    for (const linkPath of paths) opened.push(await openPtyWire(linkPath));
  } catch (error) {
    await close();
    throw error;
  }
  const [wire, weatherWire, gaugeWire] = opened as [PtyWire, PtyWire, PtyWire];
  return { paths, wire, weatherWire, gaugeWire, close };
}
