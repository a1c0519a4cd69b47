import { loadRig, type Rig } from '../rig/index.ts';
import { readRigText } from './check.ts';
import { CommandError } from './output.ts';
import { problemLine } from './rig-lines.ts';

/** @throws CommandError with exit code 2 and a line for each problem */
export async function openRigFile(rigFile: string): Promise<{ readonly text: string; readonly rig: Rig }> {
  const read = await readRigText(rigFile);
  if (!read.ok) throw new CommandError(read.message, 2);
  const loaded = loadRig(read.text, rigFile);
  if (!loaded.ok) throw new CommandError(loaded.problems.map((problem) => problemLine(rigFile, problem)).join('\n'), 2);
  return { text: read.text, rig: loaded.rig };
}
