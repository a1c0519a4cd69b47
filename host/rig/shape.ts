/**
 * Holds the data against the schema. A misspelt key would else be two faults, one unknown and one missing; here it is
 * one, and the data is repaired so that the rest of the file is still looked at in the same go.
 */
import type { z } from 'zod';
import { DEFAULTS } from './defaults.ts';
import { type KnownKey, keysOf, otherKindsWith } from './keys.ts';
import { nearest } from './nearest.ts';
import { type RigShape, rigSchema } from './schema/rig.ts';
import type { Path } from './source.ts';
import { SECRET_ADVICE, SECRET_KEYS } from './time-series.ts';

export interface ShapeProblem {
  readonly path: Path;
  readonly at: 'key' | 'value';
  readonly message: string;
}

type Group = Record<string, unknown>;

export interface ShapeRead {
  readonly problems: readonly ShapeProblem[];
  /** undefined where keys are missing or of the wrong kind. */
  readonly shape: RigShape | undefined;
}

export function readShape(data: unknown): ShapeRead {
  const repaired = structuredClone(data);
  const implied = fillKinds(repaired);
  const first = rigSchema.safeParse(repaired);
  if (first.success) return { problems: [], shape: first.data };
  const unknown = first.error.issues.flatMap((issue) =>
    issue.code === 'unrecognized_keys' ? repairKeys(repaired, issue.path as Path, issue.keys, implied) : [],
  );
  const second = rigSchema.safeParse(repaired);
  if (second.success) return { problems: unknown, shape: second.data };
  return { problems: [...unknown, ...otherProblems(second.error.issues, repaired)], shape: undefined };
}

/** A board that does not say its kind is a gate board. @returns names of those boards, changed in place */
function fillKinds(data: unknown): ReadonlySet<string> {
  const boards = at(data, ['boards']);
  if (!isGroup(boards)) return new Set();
  const silent = Object.entries(boards).filter(([, board]) => isGroup(board) && !Object.hasOwn(board, 'kind'));
  for (const [, board] of silent) (board as Group).kind = DEFAULTS.boardKind;
  return new Set(silent.map(([name]) => name));
}

const isGroup = (node: unknown): node is Group => typeof node === 'object' && node !== null && !Array.isArray(node);

function otherProblems(issues: readonly z.core.$ZodIssue[], data: unknown): readonly ShapeProblem[] {
  const seen = new Set<string>();
  return issues.flatMap((issue) => {
    const path = issue.path as Path;
    const key = JSON.stringify(path);
    // One value that breaks two rules is still one mistake.
    if (issue.code === 'unrecognized_keys' || seen.has(key)) return [];
    seen.add(key);
    return [{ path, at: 'value' as const, message: sentence(issue.message, path, data) }];
  });
}

function sentence(rule: string, path: Path, data: unknown): string {
  const parent = at(data, path.slice(0, -1));
  const last = path.at(-1);
  if (last !== undefined && !Object.hasOwn(parent as object, last)) return `the key "${last}" is missing; add it`;
  const value = at(data, path);
  if (value === null) return 'nothing stands here; write the value';
  return `${shown(value)} ${rule}`;
}

function shown(value: unknown): string {
  if (Array.isArray(value)) return 'this list';
  if (typeof value === 'object') return 'this group of keys';
  const text = String(value);
  return `"${text.length > 40 ? `${text.slice(0, 40)}…` : text}"`;
}

/** Renames or drops what is unknown in the group at that path, in place. */
function repairKeys(data: unknown, path: Path, unknownKeys: readonly string[], implied: ReadonlySet<string>): readonly ShapeProblem[] {
  const group = at(data, path) as Group;
  return unknownKeys.flatMap((key) => {
    const known = keysOf(path, data);
    // Another key may have shown by now what kind the group is of.
    if (known.some(({ name }) => name === key)) return [];
    if (path[0] === 'timeSeries' && SECRET_KEYS.includes(key)) {
      delete group[key];
      return [{ path: [...path, key], at: 'key' as const, message: `the key "${key}" ${SECRET_ADVICE}` }];
    }
    const [otherKind] = otherKindsWith(key, path, data);
    const advice = otherKind === undefined ? undefined : kindAdvice(key, otherKind, group, path, implied);
    return [{ path: [...path, key], at: 'key' as const, message: `the key "${key}" ${advice ?? repairKey(group, key, known)}` }];
  });
}

function kindAdvice(key: string, otherKind: string, group: Group, path: Path, implied: ReadonlySet<string>): string {
  if (!implied.has(String(path.at(-1)))) {
    delete group[key];
    return `belongs to a board of kind ${otherKind}; this one is of kind ${group.kind}, so remove it`;
  }
  group.kind = otherKind;
  return `belongs to a board of kind ${otherKind}; add kind: ${otherKind}`;
}

function repairKey(group: Group, key: string, known: readonly KnownKey[]): string {
  const absent = known.filter(({ name }) => !Object.hasOwn(group, name));
  const needed = absent.filter(({ required }) => required);
  const near = nearest(
    key,
    absent.map(({ name }) => name),
  );
  // Where one needed key is missing, a key nobody knows is most likely that one under another name.
  const meant = near ?? (needed.length === 1 ? needed[0]?.name : undefined);
  const value = group[key];
  delete group[key];
  if (meant === undefined) return `is not known here; remove it; known here are ${known.map(({ name }) => name).join(', ')}`;
  group[meant] = value;
  return `is not known here; did you mean "${meant}"?`;
}

function at(data: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (node, step) => (typeof node === 'object' && node !== null ? (node as Record<string | number, unknown>)[step] : undefined),
    data,
  );
}
