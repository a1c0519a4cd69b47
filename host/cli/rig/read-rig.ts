import { loadRig, type RigLoad, type RigProblem, withAsked } from '../../rig/index.ts';
import { readRigText } from './read-rig-text.ts';
import { problemLine } from './rig-lines.ts';

export type RigRead =
  | { readonly ok: false; readonly message: string }
  | {
      readonly ok: true;
      /** Of the rig file, with what is asked in it. */
      readonly text: string;
      readonly load: RigLoad;
      /** A problem as a line, with the file that it is in. */
      readonly lineOf: (problem: RigProblem) => string;
    };

/** @param asked  a file of what the session asks of its shots, in place of what the rig file says of it */
export async function readRig(rigFile: string, asked?: string): Promise<RigRead> {
  const own = await readRigText(rigFile);
  if (!own.ok) return own;
  if (asked === undefined) {
    return { ok: true, text: own.text, load: loadRig(own.text, rigFile), lineOf: (problem) => problemLine(rigFile, problem) };
  }
  const read = await readRigText(asked);
  if (!read.ok) return read;
  const laid = withAsked(own.text, read.text, asked);
  if (!laid.ok) return { ok: false, message: laid.problems.map((problem) => problemLine(asked, problem)).join('\n') };
  const { text, linesBefore } = laid;
  const lineOf = (problem: RigProblem): string =>
    problem.line > linesBefore ? problemLine(asked, { ...problem, line: problem.line - linesBefore }) : problemLine(rigFile, problem);
  return { ok: true, text, load: loadRig(text, rigFile), lineOf };
}
