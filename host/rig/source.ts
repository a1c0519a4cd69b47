/** YAML text to plain data, with the place of everything in it. */
import { type Document, isAlias, isMap, isScalar, isSeq, LineCounter, type Node, parseDocument, visit, type YAMLError } from 'yaml';
import type { RigProblem } from './rig.ts';
import { beyondBounds } from './yaml-bounds.ts';

export const RIG_FILE_BYTES_MAX = 256 * 1024;
/** An alias may be used, but not to blow a small file up. */
const ALIASES_MAX = 100;
/** More help nobody to mend a file, and each costs a search for its place. */
export const PROBLEMS_MAX = 100;

export type Path = readonly (string | number)[];

export interface Place {
  readonly line: number;
  readonly column: number;
}

export interface RigSource {
  readonly data: unknown;
  /** Place of the value at that path; of its key where asked; of the nearest thing above where there is no such path. */
  readonly locate: (path: Path, what?: 'key' | 'value') => Place;
  /** A number at that path and how the file writes it, such as 64 and `0x40`; undefined for all else. */
  readonly numberAt: (path: Path) => WrittenNumber | undefined;
}

export interface WrittenNumber {
  readonly value: number;
  readonly written: string;
}

export type SourceRead =
  | { readonly ok: true; readonly source: RigSource }
  | { readonly ok: false; readonly problems: readonly RigProblem[] };

/** @param fileName  for sentences on the file as a whole */
export function readSource(text: string, fileName: string): SourceRead {
  const bytes = new TextEncoder().encode(text).length;
  if (bytes > RIG_FILE_BYTES_MAX)
    return whole(`${fileName} has ${bytes} bytes, and at most ${RIG_FILE_BYTES_MAX} are read; is it a rig file?`);
  const beyond = beyondBounds(text);
  if (beyond !== undefined) return whole(`${fileName}: ${beyond}`);
  const lineCounter = new LineCounter();
  const document = parseDocument(text, { lineCounter, prettyErrors: false, stringKeys: true, resolveKnownTags: false, logLevel: 'error' });
  const placeAt = (offset: number): Place => {
    const { line, col } = lineCounter.linePos(offset);
    return { line, column: col };
  };
  const faults = [...yamlProblems(document, placeAt, text), ...unusableKeys(document, placeAt)];
  if (faults.length > 0) return { ok: false, problems: faults };
  if (document.contents === null) return whole(`${fileName} is empty; begin it with "rig: 1"`);
  const data = plainData(document);
  if (!data.ok) return whole(`${fileName}: ${data.message}`);
  return {
    ok: true,
    source: {
      data: data.value,
      locate: (path, what = 'value') => placeAt(offsetOf(document, path, what)),
      numberAt: (path) => numberAt(document, path),
    },
  };
}

/** Dotted, with list indices in brackets: `gates[2].position`. */
export function pathText(path: Path): string {
  return path.map((step, i) => (typeof step === 'number' ? `[${step}]` : i === 0 ? step : `.${step}`)).join('');
}

function whole(message: string): SourceRead {
  return { ok: false, problems: [{ line: 0, column: 0, path: '', message }] };
}

/** After a first fault in the grammar the parser only guesses, so no second one is reported; a repeated key is not one. */
function yamlProblems(document: Document.Parsed, placeAt: (offset: number) => Place, text: string): readonly RigProblem[] {
  const all: readonly YAMLError[] = [...document.errors, ...document.warnings];
  const repeated = all.filter((error) => error.code === 'DUPLICATE_KEY');
  const [first] = all.filter((error) => error.code !== 'DUPLICATE_KEY');
  const reported = first === undefined ? repeated : [first];
  return reported.slice(0, PROBLEMS_MAX).map((error) => {
    const message = (error.code === 'DUPLICATE_KEY' && repeatedKey(document, error.pos[0], placeAt)) || sentence(error, text);
    return { ...placeAt(error.pos[0]), path: '', message };
  });
}

/** @param offset  of the key that has stood there before */
function repeatedKey(document: Document.Parsed, offset: number, placeAt: (offset: number) => Place): string | undefined {
  let message: string | undefined;
  visit(document, {
    Map(_, { items }) {
      const again = items.find(({ key }) => startOf(key as Node) === offset)?.key;
      if (!isScalar(again)) return undefined;
      const first = items.find(({ key }) => isScalar(key) && key.value === again.value)?.key as Node;
      const lines = [startOf(first) ?? 0, offset].map((at) => placeAt(at).line);
      const where = lines[0] === lines[1] ? `both in line ${lines[0]}` : `in line ${lines[0]} and again in line ${lines[1]}`;
      message = `the key "${again.value}" stands twice in one group, ${where}; remove one of the two`;
      return visit.BREAK;
    },
  });
  return message;
}

/** JavaScript gives this one key a meaning of its own, and libraries pass over it in silence. */
function unusableKeys(document: Document.Parsed, placeAt: (offset: number) => Place): readonly RigProblem[] {
  const problems: RigProblem[] = [];
  visit(document, {
    Pair(_, { key }) {
      if (!isScalar(key) || key.value !== '__proto__') return;
      problems.push({ ...placeAt(key.range?.[0] ?? 0), path: '', message: '"__proto__" cannot be a key; write another' });
    },
  });
  return problems;
}

function sentence(error: YAMLError, text: string): string {
  if (/^-[ \t]*[,\]]/.test(text.slice(error.pos[0], error.pos[0] + 10))) return "a lone - in a list must stand in quotes; write '-'";
  if (error.code === 'DUPLICATE_KEY') return 'a key stands here twice in one group; remove one of the two';
  if (error.code === 'TAB_AS_INDENT') return 'a tab is used to indent; use spaces';
  if (error.code === 'MULTIPLE_DOCS') return 'a second document begins here; a rig file holds one, so remove the line ---';
  return `this is not valid YAML: ${error.message}; correct it`;
}

function plainData(
  document: Document.Parsed,
): { readonly ok: true; readonly value: unknown } | { readonly ok: false; readonly message: string } {
  try {
    return { ok: true, value: document.toJS({ maxAliasCount: ALIASES_MAX }) };
  } catch (error) {
    // The library's words for an alias to nowhere, and for too many of them.
    if (!(error instanceof ReferenceError)) throw error;
    return { ok: false, message: `an alias in the file cannot be followed (${error.message}); write the value out` };
  }
}

function offsetOf(document: Document.Parsed, path: Path, what: 'key' | 'value'): number {
  let node: Node | null | undefined = document.contents;
  let offset = startOf(node) ?? 0;
  for (const [i, step] of path.entries()) {
    const child: Child | undefined = childOf(document, node, step);
    if (child === undefined) return offset;
    const wantKey = child.key !== undefined && (i < path.length - 1 || what === 'key' || startOf(child.value) === undefined);
    offset = (wantKey ? startOf(child.key) : startOf(child.value)) ?? offset;
    node = child.value;
  }
  return offset;
}

function numberAt(document: Document.Parsed, path: Path): WrittenNumber | undefined {
  let node: Node | null | undefined = document.contents;
  for (const step of path) node = childOf(document, node, step)?.value;
  const scalar = isAlias(node) ? node.resolve(document) : node;
  return isScalar(scalar) && typeof scalar.value === 'number' && scalar.source !== undefined
    ? { value: scalar.value, written: scalar.source }
    : undefined;
}

interface Child {
  /** undefined in a list. */
  readonly key: Node | undefined;
  readonly value: Node | null | undefined;
}

function childOf(document: Document.Parsed, parent: Node | null | undefined, step: string | number): Child | undefined {
  const node = isAlias(parent) ? parent.resolve(document) : parent;
  if (isSeq(node)) {
    const value = typeof step === 'number' ? (node.items[step] as Node | undefined) : undefined;
    return value === undefined ? undefined : { key: undefined, value };
  }
  if (!isMap(node)) return undefined;
  const pair = node.items.find((item) => isScalar(item.key) && String(item.key.value) === String(step));
  return pair === undefined ? undefined : { key: pair.key as Node, value: pair.value as Node | null };
}

/** undefined for a value that is not written, such as after `mass:` at the line's end. */
function startOf(node: Node | null | undefined): number | undefined {
  if (isScalar(node) && node.value === null && node.source === '') return undefined;
  return node?.range?.[0];
}
