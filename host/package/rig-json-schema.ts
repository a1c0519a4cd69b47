/**
 * The rig file's JSON Schema (draft 2020-12), for editors: the loader's own schema, with what docs/rig-file.md says of each
 * key, its examples, and quantities by their units. What only the loader knows, such as that two keys exclude each other,
 * `postern check` tells.
 */
import { z } from 'zod';
import { rigSchema } from '../rig/schema/rig.ts';
import { quantityForms } from './quantity-forms.ts';
import { quantityPattern, quantityWords } from './quantity-pattern.ts';
import { exampleRigs, keyOf, read } from './rig-examples.ts';

type Node = Record<string, unknown>;

const QUANTITY_CHARACTERS_MAX = 120;
const EXAMPLES_MAX = 3;

export function rigJsonSchema(): Node {
  const schema = z.toJSONSchema(rigSchema, { io: 'input', unrepresentable: 'any' }) as Node;
  const told = { rows: rowsOfDoc(), forms: quantityForms(), examples: examplesByKey() };
  const { $schema, ...rest } = withWords(schema, '', told);
  return { $schema, title: 'Postern rig file', description: 'One launcher range: docs/rig-file.md says more of each key.', ...rest };
}

interface Told {
  readonly rows: ReadonlyMap<string, string>;
  readonly forms: ReturnType<typeof quantityForms>;
  readonly examples: ReadonlyMap<string, ReadonlySet<string | number>>;
}

/** The node of a key, with those below it. */
function withWords(node: Node, key: string, told: Told): Node {
  const properties = node.properties as Readonly<Record<string, Node>> | undefined;
  const { items, additionalProperties, oneOf, prefixItems } = node as Record<string, Node | undefined> & {
    oneOf?: Node[];
    prefixItems?: Node[];
  };
  return {
    ...described(node, key, told),
    ...(properties && {
      properties: Object.fromEntries(
        Object.entries(properties).map(([name, child]) => [name, withWords(child, key === '' ? name : `${key}.${name}`, told)]),
      ),
    }),
    ...(items && { items: withWords(items, `${key}[]`, told) }),
    ...(prefixItems && { prefixItems: prefixItems.map((item) => withWords(item, `${key}[]`, told)) }),
    ...(additionalProperties &&
      typeof additionalProperties === 'object' && { additionalProperties: withWords(additionalProperties, `${key}.*`, told) }),
    ...(oneOf && { oneOf: oneOf.map((choice) => withWords(optionalKind(choice), key, told)) }),
  };
}

/** A board without a kind is a gate board. */
function optionalKind(choice: Node): Node {
  const { kind } = (choice.properties ?? {}) as Record<string, { readonly const?: string }>;
  const required = choice.required as readonly string[] | undefined;
  return kind?.const === 'gate-board' ? { ...choice, required: required?.filter((name) => name !== 'kind') } : choice;
}

function described(node: Node, key: string, { rows, forms, examples }: Told): Node {
  const form = forms.get(key);
  const row = rows.get(key);
  const shown = [...(examples.get(key) ?? [])].slice(0, EXAMPLES_MAX);
  const isQuantity = Array.isArray(node.type) && node.type.join() === 'string,number';
  const words = [row === undefined || row === '' ? undefined : `${row}.`, form && quantityWords(form)].filter(Boolean).join(' ');
  return {
    ...node,
    ...(form && isQuantity && { type: 'string', maxLength: QUANTITY_CHARACTERS_MAX, pattern: quantityPattern(form) }),
    ...(words !== '' && { description: words }),
    ...(shown.length > 0 && { examples: shown }),
  };
}

/** What the table of docs/rig-file.md says of each key, its markup taken off. */
function rowsOfDoc(): ReadonlyMap<string, string> {
  const rows = read('docs/rig-file.md').matchAll(/^\| `([\w.*[\]]+)` \| ([^|]*) \|[^|]*\|([^|]*)\|$/gm);
  return new Map([...rows].map(([, key = '', what = '', left = '']) => [key, sentence(what, left)]));
}

function sentence(what: string, left: string): string {
  const plain = (text: string): string =>
    text
      .replace(/\[([^\]]*)\]\([^)]*\)/g, '$1')
      .replaceAll('`', '')
      .trim();
  const [first = '', rest = ''] = [plain(what).slice(0, 1), plain(what).slice(1)];
  const default_ = plain(left);
  return [`${first.toUpperCase()}${rest}`, default_ && (default_.startsWith('optional') ? default_ : `left out: ${default_}`)]
    .filter(Boolean)
    .join('; ');
}

function examplesByKey(): ReadonlyMap<string, ReadonlySet<string | number>> {
  const found = new Map<string, Set<string | number>>();
  const walk = (value: unknown, path: readonly (string | number)[]): void => {
    if (typeof value === 'string' || typeof value === 'number') {
      const key = keyOf(path);
      found.set(key, (found.get(key) ?? new Set()).add(value));
    } else if (Array.isArray(value)) for (const [i, each] of value.entries()) walk(each, [...path, i]);
    else if (typeof value === 'object' && value !== null) for (const [name, each] of Object.entries(value)) walk(each, [...path, name]);
  };
  for (const rig of exampleRigs()) walk(rig, []);
  return found;
}
