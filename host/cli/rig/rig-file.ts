import type { Rig } from '../../rig/index.ts';
import { CommandError } from '../output.ts';
import { readRig } from './read-rig.ts';

/**
 * @param asked  a file of what the session asks of its shots
 * @throws CommandError with exit code 2 and a line for each problem
 */
export async function openRigFile(rigFile: string, asked?: string): Promise<{ readonly text: string; readonly rig: Rig }> {
  const read = await readRig(rigFile, asked);
  if (!read.ok) throw new CommandError(read.message, 2);
  const { text, load, lineOf } = read;
  if (!load.ok) throw new CommandError(load.problems.map(lineOf).join('\n'), 2);
  return { text, rig: load.rig };
}
