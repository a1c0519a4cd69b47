/**
 * Holds the data against the schema. A misspelt key would else be two faults, one unknown and one missing; here it is
 * one, and the data is repaired so that the rest of the file is still looked at in the same go.
 */
import type { z } from 'zod';
import { keysOf } from './keys.ts';
import { nearest } from './nearest.ts';
import { type RigShape, rigSchema } from './schema.ts';
import type { Path } from './source.ts';

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
  const first = rigSchema.safeParse(data);
  if (first.success) return { problems: [], shape: first.data };
  const repaired = structuredClone(data);
  const unknown = first.error.issues.flatMap((issue) =>
    issue.code === 'unrecognized_keys' ? repairKeys(at(repaired, issue.path as Path) as Group, issue.path as Path, issue.keys) : [],
  );
  const second = rigSchema.safeParse(repaired);
  if (second.success) return { problems: unknown, shape: second.data };
  return { problems: [...unknown, ...otherProblems(second.error.issues, repaired)], shape: undefined };
}

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

/** Renames or drops what is unknown in `group`, in place. */
function repairKeys(group: Group, path: Path, unknownKeys: readonly string[]): readonly ShapeProblem[] {
  const known = keysOf(path);
  return unknownKeys.map((key) => {
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
    if (meant !== undefined) group[meant] = value;
    const advice =
      meant === undefined ? `remove it; known here are ${known.map(({ name }) => name).join(', ')}` : `did you mean "${meant}"?`;
    return { path: [...path, key], at: 'key' as const, message: `the key "${key}" is not known here; ${advice}` };
  });
}

function at(data: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (node, step) => (typeof node === 'object' && node !== null ? (node as Record<string | number, unknown>)[step] : undefined),
    data,
  );
}
