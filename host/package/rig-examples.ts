/** The rig files that docs/rig-file.md shows: Heron's, and parts of others, each set into Heron's. */
import { readFileSync } from 'node:fs';
import { parse } from 'yaml';

const ROOT = new URL('../../', import.meta.url);
export const read = (file: string): string => readFileSync(new URL(file, ROOT), 'utf8');

type Group = Readonly<Record<string, unknown>>;

/** As data, whole. */
export function exampleRigs(): readonly Group[] {
  const heron = parse(read('firmware-sim/heron.yaml')) as Group;
  const blocks = [...read('docs/rig-file.md').matchAll(/^```yaml\n([\s\S]*?)^```$/gm)].map(([, text = '']) => parse(text) as Group);
  return [heron, ...blocks.map((part) => ({ ...heron, ...mapped(part, (value, key) => over(heron[key], value)) }))];
}

const isGroup = (value: unknown): value is Group => typeof value === 'object' && value !== null && !Array.isArray(value);

function over(before: unknown, value: unknown): unknown {
  return isGroup(value) && isGroup(before) ? { ...before, ...value } : value;
}

const mapped = (group: Group, change: (value: unknown, key: string) => unknown): Group =>
  Object.fromEntries(Object.entries(group).map(([key, value]) => [key, change(value, key)]));

/** `gates[].position` for the place `gates, 0, position`; names that the user gives are `*`. */
export function keyOf(path: readonly (string | number)[]): string {
  return path.reduce<string>((key, step) => {
    if (typeof step === 'number') return `${key}[]`;
    const name = NAMED_BY_USER.has(key) ? '*' : step;
    return key === '' ? name : `${key}.${name}`;
  }, '');
}

const NAMED_BY_USER: ReadonlySet<string> = new Set(['boards', 'channels', 'timeSeries.tags']);
