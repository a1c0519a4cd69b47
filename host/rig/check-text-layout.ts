/** Whether a text instrument's lines can be read by what the rig file says of them. */
import type { TextLayout } from './board-setup.ts';
import type { Report } from './fields.ts';
import type { TextShape } from './schema/boards.ts';
import type { Path } from './source.ts';
import { textReader } from './text-line.ts';
import { compilePattern } from './text-pattern.ts';

/** At most one problem: each of these makes those after it meaningless. */
export function checkTextLayout(shape: TextShape, layout: TextLayout, path: Path, report: Report): void {
  const { pattern, columns, separator } = shape;
  if (pattern === undefined && columns === undefined) {
    report(path, 'nothing says how the lines of this board are read; add pattern or columns', 'key');
    return;
  }
  if (pattern !== undefined && columns !== undefined) {
    report([...path, 'columns'], 'the board has both pattern and columns; keep one of the two', 'key');
    return;
  }
  if (pattern !== undefined && separator !== undefined) {
    report([...path, 'separator'], 'separator goes with columns, and this board has a pattern; remove it', 'key');
    return;
  }
  const problem = pattern === undefined ? columnsProblem(columns ?? []) : patternProblem(pattern);
  if (problem !== undefined) report([...path, pattern === undefined ? 'columns' : 'pattern'], problem);
  else checkExample(shape.example, layout, path, report);
}

/** Names that can be read from the board's lines; undefined where none usable is told. */
export function namesIn(layout: TextLayout): readonly string[] | undefined {
  const names = layout.by === 'columns' ? layout.columns.flatMap((column) => column ?? []) : groupsOf(layout.pattern);
  return names.length > 0 && names.every(isUsable) ? names : undefined;
}

function groupsOf(pattern: string): readonly string[] {
  const compiled = compilePattern(pattern);
  return compiled.ok ? compiled.pattern.groups : [];
}

function patternProblem(text: string): string | undefined {
  const compiled = compilePattern(text);
  if (!compiled.ok) return `the pattern cannot be used (${compiled.why}); correct it`;
  const { groups, find } = compiled.pattern;
  if (groups.length === 0) return 'the pattern has no named group; write (?<name>…) around each number';
  if (find('') !== undefined)
    return 'the pattern matches even an empty line, so it would take any; write + for * where a number must stand';
  const unusable = groups.find((name) => !isUsable(name));
  return unusable === undefined ? undefined : `the group name "${unusable}" must be 1 to 24 letters, digits or _; write another`;
}

function columnsProblem(columns: readonly string[]): string | undefined {
  const names = columns.filter((column) => column !== '-');
  if (names.length === 0) return 'every column is passed over; name at least one';
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) return `two columns have the name ${twice}; give one of them another, or '-' to pass over it`;
  const unusable = names.find((name) => !isUsable(name));
  return unusable === undefined ? undefined : `the column name "${unusable}" is taken by the program itself; write another`;
}

/** The names become keys of an object; those that every object has by itself would be found where nothing was read. */
function isUsable(name: string): boolean {
  return /^[A-Za-z0-9_-]{1,24}$/.test(name) && !(name in Object.prototype);
}

function checkExample(example: string | undefined, layout: TextLayout, path: Path, report: Report): void {
  if (example === undefined) return;
  const read = textReader(layout)(new TextEncoder().encode(example));
  const what = layout.by === 'pattern' ? 'pattern does' : 'columns do';
  if (!read.ok) report([...path, 'example'], `the ${what} not match this example; correct one of the two`);
  else if (read.unreadable.length > 0)
    report([...path, 'example'], `${read.unreadable.join(', ')} would be no number in this example; correct one of the two`);
}
