import { z } from 'zod';
import { rigSchema } from './schema.ts';
import type { Path } from './source.ts';

export interface KnownKey {
  readonly name: string;
  readonly required: boolean;
}

/** The keys that the schema knows in the group at that path; none where there is no group. */
export function keysOf(path: Path): readonly KnownKey[] {
  const group = path.reduce<unknown>((schema, step) => childOf(inner(schema), step), rigSchema);
  const object = inner(group);
  if (!(object instanceof z.ZodObject)) return [];
  return Object.entries(object.shape).map(([name, field]) => ({ name, required: !(field as z.ZodType).safeParse(undefined).success }));
}

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
  if (!(type instanceof z.ZodObject)) return [];
  return Object.entries(type.shape).flatMap(([name, field]) => {
    const key = prefix === '' ? name : `${prefix}.${name}`;
    return [key, ...knownKeys(field, key)];
  });
}
