/** The JSON Schema that editors are given: as the loader's own schema and the docs make it, and never narrower than the loader. */
import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { quantityForms } from '../../host/package/quantity-forms.ts';
import { type QuantityForm, quantityPattern } from '../../host/package/quantity-pattern.ts';
import { exampleRigs } from '../../host/package/rig-examples.ts';
import { rigJsonSchema } from '../../host/package/rig-json-schema.ts';
import { loadRig, RIG_SCHEMA_FILE } from '../../host/rig/index.ts';
import { parseQuantity, parseUncertainty, UNITS } from '../../host/units/index.ts';

const SHIPPED = JSON.parse(readFileSync(RIG_SCHEMA_FILE, 'utf8'));
// Strict: a word that the draft does not know is a fault. The date's pattern is beside its format.
const validate = new Ajv2020({
  strict: true,
  allowUnionTypes: true,
  strictRequired: false,
  validateFormats: false,
  allErrors: true,
}).compile(SHIPPED);
const file = (name: string): string => readFileSync(new URL(`../../${name}`, import.meta.url), 'utf8');

/** Where a rig file breaks the schema. */
function faults(rig: unknown): readonly string[] {
  return validate(rig)
    ? []
    : (validate.errors ?? []).map(({ instancePath, message, params }) => `${instancePath} ${message} ${JSON.stringify(params)}`);
}

describe('the schema', () => {
  it('is the one that the sources make (else: npm run schema)', () => {
    expect(SHIPPED).toEqual(JSON.parse(JSON.stringify(rigJsonSchema())));
  });

  it('takes every rig file that is in order: heron.yaml, each example of the docs, those of the tests', () => {
    for (const rig of exampleRigs()) expect(faults(rig)).toEqual([]);
    for (const name of ['tests/support/instruments.yaml', 'tests/support/one-board.yaml'])
      expect(faults(parse(file(name))), name).toEqual([]);
  });

  it.each<[string, string, string, string]>([
    ['a key that is not known', '  mass: 126.0 g', '  weight: 126.0 g', '/projectile must NOT have additional properties'],
    ['a quantity without its unit', 'length: 5.5 m', 'length: 5.5', '/barrel/length must be string'],
    ['a unit of something else', 'bore: 60 mm', 'bore: 60 g', '/barrel/bore must match pattern'],
    ['a pressure that does not say of what', '4.0 MPa gauge', '4.0 MPa', '/reservoir/ratedPressure must match pattern'],
    ['a pressure of the wrong reference', 'target: 5 kPa absolute', 'target: 5 kPa gauge', '/vacuum/target must match pattern'],
    ['a value without its uncertainty', '11.000 m ± 5 mm', '11.000 m', '/target must match pattern'],
    ['a board of a kind that there is not', 'kind: text', 'kind: textual', '/boards/fill-gauge'],
    ['a key of another kind of board', '    bme280: 0x76', '    boardId: X', '/boards/weather-board'],
    ['an input that a board does not have', 'input: 4, position', 'input: 9, position', '/gates/3/input must be <= 8'],
  ])('finds %s, as the loader does', (_what, right, wrong, said) => {
    const text = file('firmware-sim/heron.yaml').replace(right, wrong);
    expect(loadRig(text, 'rig.yaml').ok).toBe(false);
    expect(faults(parse(text)).join('\n')).toContain(said);
  });

  it('says of each key what it is, and gives an example', () => {
    const bare: string[] = [];
    const walk = (node: Record<string, unknown>, at: string): void => {
      const below = Object.entries((node.properties ?? {}) as Record<string, Record<string, unknown>>);
      for (const [name, child] of below) walk(child, `${at}.${name}`);
      for (const each of [node.items, node.additionalProperties])
        if (typeof each === 'object' && each !== null && !('type' in each && each.type !== 'object'))
          walk(each as Record<string, unknown>, at);
      for (const choice of (node.oneOf ?? []) as Record<string, unknown>[]) walk(choice, at);
      const isLeaf = typeof node.type === 'string' && !['object', 'array'].includes(node.type);
      if (isLeaf && at !== '.projectile.name' && (node.description === undefined || node.examples === undefined)) bare.push(at);
    };
    walk(SHIPPED, '');
    expect(bare).toEqual([]);
  });
});

const digits = fc.oneof(
  fc.constantFrom('5', '1.25', '.5', '3.', '1e3', '2.5E-2', '-4', '−4'),
  fc.integer({ min: 0, max: 9999 }).map(String),
);
const space = fc.constantFrom('', ' ', '  ');
const wordsOf = (dimension: string) =>
  UNITS.filter((unit) => unit.dimension === dimension).flatMap(({ symbol, aliases }) => [symbol, ...aliases]);

/** Texts near the grammar: some of them the loader takes. */
function texts({ dimension, value, uncertainty }: QuantityForm): fc.Arbitrary<string> {
  const unit = fc.constantFrom(...wordsOf(dimension));
  const difference = fc.constantFrom(...wordsOf(dimension === 'temperature' ? 'temperatureDifference' : dimension), '%', 'ppm');
  const reference = dimension === 'pressure' ? fc.constantFrom(' gauge', ' absolute', ' gage', ' abs', '') : fc.constant('');
  const front = value ? fc.tuple(space, digits, space, unit, reference, space).map((parts) => parts.join('')) : space;
  const tail = fc.tuple(
    fc.constantFrom('±', '+-', '+/-'),
    space,
    digits,
    space,
    difference,
    fc.constantFrom('', ' of value', ' of span'),
    fc.constantFrom('', ' rect', ' std', ' k=2', ' k = 3'),
    space,
  );
  return uncertainty
    ? fc
        .tuple(
          front,
          tail.map((parts) => parts.join('')),
        )
        .map((parts) => parts.join(''))
    : front;
}

describe('a quantity’s pattern', () => {
  it('takes whatever the loader takes, at every key', () => {
    const forms = [...quantityForms().values()];
    expect(forms.length).toBeGreaterThan(50);
    let taken = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...forms).chain((form) => fc.tuple(fc.constant(form), texts(form))),
        ([form, text]) => {
          const { dimension, reference, value, uncertainty } = form;
          const read = value
            ? parseQuantity(text, dimension, {
                uncertainty: uncertainty ? 'required' : 'forbidden',
                ...(reference === 'none' ? { reference: 'forbidden' } : {}),
              })
            : parseUncertainty(text, dimension, { spanSi: 1 });
          const isOther = read.ok && 'reference' in read && reference !== 'any' && read.reference !== reference;
          if (!read.ok || isOther) return;
          taken += 1;
          expect(text).toMatch(new RegExp(quantityPattern(form), 'u'));
        },
      ),
      { numRuns: 2000 },
    );
    expect(taken).toBeGreaterThan(0);
  });
});
