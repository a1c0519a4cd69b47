/** A good rig file with something wrong put anywhere in it: sentences that a person can use, or a rig with nothing undefined in it. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { parse, stringify } from 'yaml';
import { convert, loadRig, summarise } from '../../host/rig/index.ts';

const GOOD: unknown = parse(readFileSync(new URL('../support/instruments.yaml', import.meta.url), 'utf8'));

type Step = string | number;
type Node = Record<Step, unknown>;

function pathsOf(node: unknown, path: readonly Step[] = []): readonly (readonly Step[])[] {
  if (typeof node !== 'object' || node === null) return [path];
  const below = Array.isArray(node) ? [...node.keys()] : Object.keys(node);
  return [...(path.length === 0 ? [] : [path]), ...below.flatMap((step) => pathsOf((node as Node)[step], [...path, step]))];
}

const PATHS = pathsOf(GOOD);
const REMOVED = Symbol('removed');

const wrong = fc.oneof(
  fc.constantFrom<unknown>(REMOVED, null, true, '', [], {}, [[]], -1, 0, 1e308, Number.POSITIVE_INFINITY, Number.NaN),
  fc.constantFrom('firmata', 'text', 'gauge', 'A0', 'crew', 'constructor', '1 MPa gauge', '20 °C', '± 1 %', '(?<a>x', '2026-13-01', '3 V'),
  // Another value of the same file, at a place where it does not belong.
  fc.constantFrom(...PATHS).map((path) => path.reduce<unknown>((node, step) => (node as Node)[step], GOOD)),
  fc.string({ maxLength: 30 }).filter((text) => !text.includes('"')),
);

it('tells what is wrong, and never falls over it', () => {
  let [taken, refused] = [0, 0];
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.constantFrom(...PATHS), wrong), { minLength: 1, maxLength: 2 }), (changes) => {
      const data = structuredClone(GOOD);
      for (const [path, value] of changes) {
        const parent = path
          .slice(0, -1)
          .reduce<unknown>((node, step) => (typeof node === 'object' && node !== null ? (node as Node)[step] : node), data);
        const last = path.at(-1);
        if (typeof parent !== 'object' || parent === null || last === undefined) continue;
        if (value === REMOVED) delete (parent as Node)[last];
        else (parent as Node)[last] = structuredClone(value);
      }
      const load = loadRig(stringify(data, { aliasDuplicateObjects: false }), 'rig.yaml');
      if (load.ok) {
        taken += 1;
        const summary = summarise(load.rig);
        // NaN would come back as null.
        expect(JSON.parse(JSON.stringify(summary))).toEqual(summary);
        for (const channel of load.rig.channels)
          for (const raw of [0, 1, 500, 1023, 4095, 65_535]) {
            const { si, fault } = convert(channel, raw);
            if (fault === undefined) expect(Number.isFinite(si)).toBe(true);
          }
        return;
      }
      refused += 1;
      expect(load.problems.length).toBeGreaterThan(0);
      for (const { message, line, column } of load.problems) {
        // What the file says is quoted; in our own words none of these has a meaning to a person.
        expect(message.replace(/"[^"]*"/g, '')).not.toMatch(/undefined|NaN|\[object|null|Invalid input|expected/);
        expect(message.length).toBeGreaterThan(20);
        expect(line).toBeGreaterThan(0);
        expect(column).toBeGreaterThan(0);
      }
      expect(new Set(load.problems.map((problem) => JSON.stringify(problem))).size).toBe(load.problems.length);
    }),
    { numRuns: 300 },
  );
  // Both happen, or the test has shown nothing. One file in 25 is taken: of 300 none in five runs of a million, and no more
  // than five in one run of fifty.
  expect(taken).toBeGreaterThan(0);
  expect(refused).toBeGreaterThan(50);
});
