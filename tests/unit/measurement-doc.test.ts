/** docs/measurement.md against the code: the terms of the budget, the results, the limits, the files and the commands. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Term } from '../../host/metrology/index.ts';
import { boardOffsets, type TimeBase, type TimedPassage, timingInputs } from '../../host/pipeline/gate-timing.ts';
import type { Reduction } from '../../host/pipeline/reduction.ts';
import { DEFAULTS } from '../../host/rig/index.ts';
import { knownKeys } from '../../host/rig/keys.ts';
import type { Result, Shot } from '../../protocol/index.ts';
import { claimedShot } from '../support/claimed-shots.ts';
import { HERON_RIG } from '../support/heron.ts';
import { known } from '../support/known.ts';
import { runVirtualRange } from '../support/virtual-range.ts';

const ROOT = new URL('../../', import.meta.url);
const read = (path: string): string => readFileSync(new URL(path, ROOT), 'utf8');
const DOC = read('docs/measurement.md');

/** Text under a second-level heading. */
function section(heading: string): string {
  const body = DOC.split(/^## /m).find((part) => part.startsWith(`${heading}\n`));
  return known(body);
}

/** Cells of the rows of all tables in a text; head and rule rows, which hold no code mark, are left out by asking for one. */
const rows = (text: string): readonly (readonly string[])[] =>
  Array.from(text.matchAll(/^\| (.*) \|$/gm), ([, row = '']) => row.split(/(?<!\\) \| ?/).map((cell) => cell.trim())).filter((cells) =>
    cells.some((cell) => cell.includes('`')),
  );

const codeIn = (text: string): readonly string[] => Array.from(text.matchAll(/`([^`]+)`/g), ([, code = '']) => code);

const fullShot = (): Shot => {
  const [shot] = runVirtualRange({ seed: 7, shots: 1 }).shots;
  expect(shot?.flags).toEqual([]);
  expect(shot?.passages).toHaveLength(4);
  return known(shot);
};

const isResult = (value: unknown): value is Result => typeof value === 'object' && value !== null && 'budget' in value;

const isDisagreement = ({ input }: Term): boolean => input.startsWith('disagreement of the gates');

/** A shot whose gates stand where nobody measured them. */
function disagreeing(): Reduction {
  for (let seed = 1; seed < 50; seed++) {
    const { screening, reduction } = claimedShot(HERON_RIG, { seed, inflate: { positions: 20 } });
    if (screening.doubtful && reduction) return reduction;
  }
  throw new Error('no gates disagree');
}

/** The inputs that only a shot with something amiss has. */
function rareInputs(): readonly string[] {
  const nothing = { value: 0, standardUncertainty: 1 };
  const gate = {
    name: 'NAME',
    pair: 'A',
    board: 'BOARD',
    input: 1,
    positionM: nothing,
    delayS: nothing,
    jitterS: 1e-6,
    squarenessStandardUncertaintyRad: 0.01,
  };
  const passage: TimedPassage = { gate, timeS: 1, occlusionS: undefined, ambiguityS: 1e-6 };
  const time: TimeBase = { rateStandardUncertainty: 1e-6, tickS: 1e-7, offsetStandardUncertaintyS: { BOARD: 1e-6 }, firingBoard: 'other' };
  const bySoftware: TimedPassage = { ...passage, gate: { ...gate, board: 'gate-board' }, softwareTimed: true };
  const timing = [...timingInputs(bySoftware, 300, time, HERON_RIG).inputs, ...boardOffsets([passage], time)];
  return [...timing.flatMap(({ of }) => of.terms), ...disagreeing().muzzleVelocityMps.terms.filter(isDisagreement)].map(({ input }) =>
    input.replace(/\(muzzle [a-z]+\)|\(drag [a-zA-Z, ]+\)/, '(PARAMETER)'),
  );
}

describe('the terms of a budget', () => {
  const table = rows(section('The terms of a budget'));
  const described = table.map(([first = '']) => codeIn(first)[0]).filter((name) => name !== undefined);

  test('every input of a shot that all four gates saw, and of one with something amiss, is described, and no other', () => {
    const shot = fullShot();
    const results = [...Object.values(shot), ...Object.values(shot.air), ...shot.pairs.map((pair) => pair.velocityMps)].filter(isResult);
    expect(results.length).toBeGreaterThan(10);
    const plain = results.flatMap((result) => result.budget.map((line) => line.input.replace(/^gate \w+ /, 'gate NAME ')));
    const names = new Set([...plain, ...rareInputs()]);
    expect(names.size).toBeGreaterThan(15);
    expect(described.toSorted()).toEqual([...names].toSorted());
  });

  test('the rig file’s keys and defaults are what they are', () => {
    const keys = knownKeys().map((key) => key.replace(/^channels\.\w+/, 'channels.*'));
    const named = table.flatMap((cells) => codeIn(cells[3] ?? ''));
    expect(named.length).toBeGreaterThan(8);
    for (const key of named) expect(keys, key).toContain(key);
    const defaults = Object.values(DEFAULTS).map(String);
    const shown = table.flatMap((cells) => codeIn(cells[4] ?? ''));
    expect(shown).toHaveLength(13);
    for (const text of shown) expect(defaults, text).toContain(text);
  });
});

test('every result of a shot has its formula', () => {
  const results = Object.entries(fullShot()).flatMap(([key, value]) => (isResult(value) ? [key] : []));
  const told = rows(section('From passages to velocity')).flatMap((cells) => codeIn(cells[2] ?? ''));
  expect(told.toSorted()).toEqual(results.toSorted());
});

test('the flags that it names are flags', () => {
  const declared = known(/export type ShotFlag =([^;]+);/.exec(read('protocol/shot.ts'))?.[1]);
  const flags = codeIn(DOC).filter((code) => /^[a-z]+(-[a-z]+)+$/.test(code));
  expect(flags.length).toBeGreaterThan(5);
  for (const flag of flags) expect(declared, flag).toContain(`'${flag}'`);
});

describe('limits', () => {
  const pipeline = readdirSync(new URL('host/pipeline/', ROOT))
    .filter((name) => name.endsWith('.ts'))
    .map((name) => read(`host/pipeline/${name}`));
  const SCALES: Readonly<Record<string, number>> = { '': 1, 'm/s': 1, mm: 1e-3, µs: 1e-6, '%': 0.01 };

  /** What the source gives a constant, or a member of one. */
  function inSource(constant: string): number {
    const [name = '', member] = constant.split('.');
    const text = pipeline.map((source) => new RegExp(`const ${name} = ([^;]+);`).exec(source)?.[1]).find((found) => found !== undefined);
    const value = member === undefined ? text : new RegExp(`\\b${member}: ([\\d.e_-]+)`).exec(text ?? '')?.[1];
    return Number(known(value).replaceAll('_', ''));
  }

  const told = rows(section('Which edges, which gates')).map((cells) => {
    const [limit = '', constant = ''] = cells.slice(-2);
    const [, number = '', unit = ''] = known(/^(\S+)(?: (\S+))?$/.exec(limit) ?? undefined);
    return { constant: known(codeIn(constant)[0]), value: Number(number) * known(SCALES[unit]) };
  });

  test.each(told)('$constant is $value', ({ constant, value }) => {
    expect(value / inSource(constant)).toBeCloseTo(1, 12);
  });

  test('they are all there', () => {
    expect(told.length).toBeGreaterThan(18);
  });

  test.each([
    ['host/pipeline/gate-timing.ts', 'HOST_CLOCK_RELATIVE = 20e-6 / Math.sqrt(3)', '20 ppm/√3'],
    ['host/pipeline/gate-timing.ts', 'LONE_EDGE_M = 1e-3', '1 mm (our own'],
    ['host/pipeline/flight-model.ts', 'SLOPE_SHARE = 0.3', '0.3·\\|dC_ref/dM\\|'],
    ['host/pipeline/flight-model.ts', 'SLOPE_FLOOR_PER_MACH = 0.3', '0.3 + 0.3·'],
    ['host/pipeline/flight-model.ts', 'SHAPE_SHARE = 0.3', '0.3·\\|C_ref(M_ref + h)'],
    ['host/pipeline/flight-model.ts', 'SHAPE_FLOOR_PER_MACH = 0.1', '0.1·h'],
    ['host/pipeline/flight-model.ts', 'NODE_MACH = 0.004', '0.004 Mach from node to node'],
    ['host/pipeline/flight-model.ts', 'STEP_ERROR = 1e-9', '10⁻⁹ inside a fit'],
    ['host/pipeline/gate-timing.ts', 'CLOCK_DRIFT_RELATIVE = 1e-6', '1 ppm (common practice)'],
    ['host/pipeline/air.ts', 'VISCOSITY_FORMULA = 0.005', '0.5 % (from memory)'],
    ['host/physics/flight.ts', 'STEP_ERROR = 1e-12', '10⁻¹² of speed and time'],
    ['host/physics/sphere-drag.ts', 'DIGITISED_WITHIN = 0.02', '0.02, is added'],
    ['host/physics/air.ts', 'CO2_DEFAULT = 4e-4', '400 ppm of carbon dioxide'],
    ['host/pipeline/result.ts', 'PROBABILITY = 0.95', '95 times in 100'],
  ])('%s: %s', (path, code, words) => {
    expect(read(path)).toContain(`const ${code};`);
    expect(DOC).toContain(words);
  });
});

describe('what it points at is there', () => {
  const scripts = Object.keys((JSON.parse(read('package.json')) as { readonly scripts: Record<string, string> }).scripts);
  /** Before its table is in, the command for the long runs is only announced. */
  const announced = /<!-- check:numbers -->\s*\|/.test(DOC) ? [] : ['check:numbers'];

  test('files', () => {
    const named = [...codeIn(DOC).filter((code) => /^[\w-]+\/[\w./-]+\.\w+$/.test(code)), ...commands().flatMap(pathsOf)];
    const linked = Array.from(DOC.matchAll(/\]\(([^)#]+)[^)]*\)/g), ([, target = '']) => `docs/${target}`);
    expect(named.length).toBeGreaterThan(20);
    for (const path of [...named, ...linked]) expect(existsSync(new URL(path, ROOT)), path).toBe(true);
  });

  test('commands', () => {
    for (const command of commands()) {
      const script = /^npm run ([\w:-]+)/.exec(command)?.[1];
      if (script !== undefined) expect([...scripts, ...announced], command).toContain(script);
      else expect(command).toMatch(/^npx vitest run /);
    }
    const options = codeIn(DOC).flatMap((code) => code.match(/--[a-z-]+/g) ?? []);
    expect(options).toContain('--budget');
    for (const option of options) expect(read('host/cli/main.ts'), option).toContain(`'${option}`);
  });

  test('every reference test is named', () => {
    for (const name of readdirSync(new URL('tests/reference/', ROOT)).filter((file) => file.endsWith('.test.ts')))
      expect(DOC).toContain(`tests/reference/${name}`);
  });

  function commands(): readonly string[] {
    return codeIn(DOC).filter((code) => /^np[mx] /.test(code));
  }

  function pathsOf(command: string): readonly string[] {
    return command.split(' ').filter((word) => word.startsWith('tests/'));
  }
});
