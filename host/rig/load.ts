import { blanksIn } from './blanks.ts';
import { checkRelations } from './checks.ts';
import { fieldReader, type Report } from './fields.ts';
import { resolveRig } from './resolve/rig.ts';
import type { Rig, RigProblem } from './rig.ts';
import { readShape } from './shape.ts';
import { shortProblem } from './short-problem.ts';
import { PROBLEMS_MAX, pathText, readSource, type WrittenNumber } from './source.ts';

export type RigLoad = { readonly ok: true; readonly rig: Rig } | { readonly ok: false; readonly problems: readonly RigProblem[] };

/**
 * Reads a rig file's text: shape, quantities, and what must hold between them.
 * @param text  YAML, at most 256 KiB
 * @param fileName  for sentences on the file as a whole
 * @returns the rig in SI with its gates in the order of their position; or the problems, at most 100, in the order of the file
 */
export function loadRig(text: string, fileName: string): RigLoad {
  const read = readSource(text, fileName);
  if (!read.ok) return { ok: false, problems: read.problems.map(shortProblem) };
  const { data, locate, numberAt } = read.source;
  const problems: RigProblem[] = [];
  const report: Report = (path, message, at = 'value') => {
    if (problems.length >= PROBLEMS_MAX) return;
    problems.push({ ...locate(path, at), path: pathText(path), message: asWritten(message, numberAt(path)) });
  };
  const blanks = blanksIn(data);
  for (const { path, message } of blanks) report(path, message);
  const { problems: shapeProblems, shape } = readShape(data);
  const isBlank = new Set(blanks.map(({ path }) => pathText(path)));
  for (const { path, at, message } of shapeProblems) if (!isBlank.has(pathText(path))) report(path, message, at);
  // What is left open is told alone: whatever does not fit it follows from it.
  if (blanks.length > 0) return { ok: false, problems: inFileOrder(problems) };
  if (shape === undefined) return { ok: false, problems: inFileOrder(problems) };
  const rig = resolveRig(shape, fieldReader(report), report);
  checkRelations(rig, report);
  if (problems.length > 0) return { ok: false, problems: inFileOrder(problems) };
  return { ok: true, rig: { ...rig, gates: rig.gates.toSorted((a, b) => a.positionM.value - b.positionM.value) } };
}

/** A sentence quotes the value that it is about first, as it was read; the user looks for what stands in the file. */
function asWritten(message: string, number: WrittenNumber | undefined): string {
  const quoted = number && `"${number.value}"`;
  if (!quoted || !message.startsWith(quoted)) return message;
  return `"${number.written.slice(0, WRITTEN_CHARACTERS_MAX)}"${message.slice(quoted.length)}`;
}

const WRITTEN_CHARACTERS_MAX = 40;

function inFileOrder(problems: readonly RigProblem[]): readonly RigProblem[] {
  return problems.toSorted((a, b) => a.line - b.line || a.column - b.column).map(shortProblem);
}
