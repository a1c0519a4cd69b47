import { z } from 'zod';
import { rigSchema } from './schema/rig.ts';
import type { Path } from './source.ts';

export interface KnownKey {
  readonly name: string;
  readonly required: boolean;
}

/** The keys that the schema knows in the group at that path, of the kind that the data says; none where there is no group. */
export function keysOf(path: Path, data: unknown): readonly KnownKey[] {
  return keysIn(groupAt(path, data), kindAt(data, path));
}

/** Kinds of the group at that path, other than the one it is of, that have this key. */
export function otherKindsWith(key: string, path: Path, data: unknown): readonly string[] {
  const union = groupAt(path, data);
  if (!(union instanceof z.ZodDiscriminatedUnion)) return [];
  const own = kindAt(data, path);
  return optionsOf(union).flatMap(({ kind, object }) => (kind !== own && Object.hasOwn(object.shape, key) ? [kind] : []));
}

function groupAt(path: Path, data: unknown): unknown {
  return inner(path.reduce<unknown>((schema, step, i) => childOf(ofKind(inner(schema), path.slice(0, i), data), step), rigSchema));
}

/** Of a union the member that the data at that path says it is. */
function ofKind(schema: unknown, path: Path, data: unknown): unknown {
  if (!(schema instanceof z.ZodDiscriminatedUnion)) return schema;
  const kind = kindAt(data, path);
  return optionsOf(schema).find((option) => option.kind === kind)?.object;
}

function keysIn(schema: unknown, kind: string | undefined): readonly KnownKey[] {
  const object =
    schema instanceof z.ZodDiscriminatedUnion ? optionsOf(schema).find((option) => option.kind === kind)?.object : inner(schema);
  if (!(object instanceof z.ZodObject)) return [];
  return Object.entries(object.shape).map(([name, field]) => ({ name, required: !(field as z.ZodType).safeParse(undefined).success }));
}

function optionsOf(union: z.ZodDiscriminatedUnion): readonly { readonly kind: string; readonly object: z.ZodObject }[] {
  return union.options.flatMap((object) => {
    const kind: unknown = object instanceof z.ZodObject ? object.shape.kind : undefined;
    return object instanceof z.ZodObject && kind instanceof z.ZodLiteral ? [{ kind: String(kind.value), object }] : [];
  });
}

function kindAt(data: unknown, path: Path): string | undefined {
  const group = path.reduce<unknown>((node, step) => (isGroup(node) ? node[step] : undefined), data);
  return isGroup(group) && typeof group.kind === 'string' ? group.kind : undefined;
}

const isGroup = (node: unknown): node is Record<string | number, unknown> => typeof node === 'object' && node !== null;

function childOf(schema: unknown, step: string | number): unknown {
  if (schema instanceof z.ZodObject) return schema.shape[step];
  if (schema instanceof z.ZodRecord) return schema.valueType;
  if (schema instanceof z.ZodArray) return schema.element;
  return undefined;
}

/** Under the wrappings that say what happens to a missing value. */
function inner(schema: unknown): unknown {
  if (schema instanceof z.ZodOptional || schema instanceof z.ZodDefault || schema instanceof z.ZodPrefault)
    return inner(schema.def.innerType);
  return schema;
}

/** Every key of a rig file, `*` for a name that the file chooses and `[]` for an entry of a list: `gates[].name`. */
export function knownKeys(schema: unknown = rigSchema, prefix = ''): readonly string[] {
  const type = inner(schema);
  if (type instanceof z.ZodRecord) return [`${prefix}.*`, ...knownKeys(type.valueType, `${prefix}.*`)];
  if (type instanceof z.ZodArray) return knownKeys(type.element, `${prefix}[]`);
  if (type instanceof z.ZodDiscriminatedUnion) return [...new Set(optionsOf(type).flatMap(({ object }) => knownKeys(object, prefix)))];
  if (!(type instanceof z.ZodObject)) return [];
  return Object.entries(type.shape).flatMap(([name, field]) => {
    const key = prefix === '' ? name : `${prefix}.${name}`;
    return [key, ...knownKeys(field, key)];
  });
}
