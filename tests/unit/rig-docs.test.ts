/** docs/rig-file.md against the code: its examples load, and its table has every key, default and unit. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse, stringify } from 'yaml';
import { WELL_KNOWN } from '../../host/rig/channel.ts';
import { DEFAULTS, loadRig, RAW_FAULTS, type RigLoad } from '../../host/rig/index.ts';
import { knownKeys } from '../../host/rig/keys.ts';
import { type Dimension, UNITS } from '../../host/units/index.ts';

const DOC = readFileSync(new URL('../../docs/rig-file.md', import.meta.url), 'utf8');
const HERON = readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8');
const blocks = [...DOC.matchAll(/^```yaml\n([\s\S]*?)^```$/gm)].map(([, text = '']) => text);

function loaded(load: RigLoad) {
  if (!load.ok) throw new Error(JSON.stringify(load.problems));
  return load.rig;
}

/** Every key in a part of a rig file, as knownKeys writes them. */
function keysIn(value: unknown, prefix = ''): readonly string[] {
  if (Array.isArray(value)) return [prefix, ...value.flatMap((entry) => keysIn(entry, `${prefix}[]`))];
  if (typeof value !== 'object' || value === null) return [prefix];
  return Object.entries(value).flatMap(([key, below]) => {
    const name = prefix === 'boards' || prefix === 'channels' || prefix === 'timeSeries.tags' ? '*' : key;
    return keysIn(below, prefix === '' ? name : `${prefix}.${name}`);
  });
}

/** The ways to a group are told by the keys in it; a board's own row says what its name may be. */
function leaves(): readonly string[] {
  const all = knownKeys();
  return all.filter((key) => !all.some((other) => other.startsWith(`${key}.`) || other.startsWith(`${key}[`)));
}

/** A part of a rig file set into that of Heron: boards, channels and keys of a group stand beside those that are there. */
function merged(block: string): string {
  const heron: Record<string, unknown> = parse(HERON);
  const part: Record<string, unknown> = parse(block);
  const isGroup = (value: unknown): value is object => typeof value === 'object' && value !== null && !Array.isArray(value);
  const entries = Object.entries(part).map(([key, value]) => [key, isGroup(value) ? { ...(heron[key] as object), ...value } : value]);
  return stringify({ ...heron, ...Object.fromEntries(entries) });
}

describe('docs/rig-file.md', () => {
  it('shows the rig file of Heron as it is', () => {
    expect(blocks).toContain(HERON);
  });

  it.each(blocks.filter((block) => block !== HERON).map((block) => [block.split('\n', 3).join(' '), block] as const))(
    'has an example that loads: %s',
    (_begin, block) => {
      const rig = loaded(loadRig(merged(block), 'example'));
      const written = parse(block);
      expect(rig.boards.map(({ name }) => name)).toEqual(expect.arrayContaining(Object.keys(written.boards ?? {})));
      expect(rig.channels.map(({ name }) => name)).toEqual(expect.arrayContaining(Object.keys(written.channels ?? {})));
      const { limits, holdPoints } = { ...parse(HERON), ...written };
      expect(rig.limits).toHaveLength(limits.length);
      expect(rig.holdPoints).toHaveLength(holdPoints.length);
    },
  );

  it('has an example for every key', () => {
    const used = new Set(blocks.flatMap((block) => keysIn(parse(block))));
    expect(leaves().filter((key) => !used.has(key))).toEqual([]);
  });

  it('has an example in inches of mercury and feet, in which what is left out has its default', () => {
    const block = blocks.find((text) => text.includes('pair: muzzle')) ?? '';
    const { fill: _, vacuum: __, limits: ___, holdPoints: ____, ...alone } = parse(HERON);
    const rig = loaded(loadRig(stringify({ ...alone, ...parse(block) }), 'example'));
    expect(rig.gates[0]?.positionM.value).toBeCloseTo(1.524, 12);
    // ± 0.05 in: expanded at the near gate, rectangular at the far one.
    expect(rig.gates[0]?.positionM.standardUncertainty).toBeCloseTo(0.000635, 12);
    expect(rig.gates[1]?.positionM.standardUncertainty).toBeCloseTo(0.00127 / Math.sqrt(3), 12);
    expect(rig.gates[0]).toMatchObject({ delayS: { value: 0, standardUncertainty: 0.25e-6 }, jitterS: expect.closeTo(0.2e-6, 15) });
    expect(rig.assumedAir.pressurePa).toEqual({ value: 101_325, standardUncertainty: 7500 });
    expect(rig.assumedAir.relativeHumidity.standardUncertainty).toBeCloseTo(0.5 / Math.sqrt(3), 12);
    expect(rig.airStaleAfterS).toBe(120);
    // 1 % of 30 inHg, halved.
    expect(rig.channels[0]?.standardUncertaintySi).toBeCloseTo(0.15 * 3386.388640341, 6);
  });

  it('has a row for every key, and no other', () => {
    const rows = [...DOC.matchAll(/^\| `([\w.*[\]]+)` \|.*\|.*\|.*\|$/gm)].map(([, key = '']) => key);
    expect(rows.filter((key) => key !== 'boards.*').toSorted()).toEqual(leaves().toSorted());
  });

  it('has the defaults that the code has', () => {
    const shown = [...DOC.matchAll(/^\| `[\w.*[\]]+` \|.*\|.*\| `([^`]+)` \|$/gm)].map(([, text]) => text);
    // One default holds for one kind of board only, and says so behind it.
    const [forFirmata] = DOC.match(/(?<=\| `)\d+(?=` for `firmata` \|$)/m) ?? [];
    expect([...shown, forFirmata].toSorted()).toEqual(Object.values(DEFAULTS).map(String).toSorted());
  });

  it('has the faults that the code has, and their meanings', () => {
    const rows = [...DOC.matchAll(/^\| `([a-z]+-[a-z-]+)` \| ([^|]+) \|$/gm)].map(([, code = '', meaning = '']) => [code, meaning]);
    expect(Object.fromEntries(rows)).toEqual(RAW_FAULTS);
  });

  it('has the well-known channels that the code has, and what they measure', () => {
    const rows = [...DOC.matchAll(/^\| `([a-z]+[A-Z][A-Za-z]+|tailwind)` \| (\w+)[^|]* \|$/gm)].map(([, name = '', measure = '']) => [
      name,
      measure,
    ]);
    expect(Object.fromEntries(rows)).toEqual(WELL_KNOWN);
  });

  it.each<[string, Dimension]>([
    ['length', 'length'],
    ['mass', 'mass'],
    ['time', 'time'],
    ['pressure', 'pressure'],
    ['temperature', 'temperature'],
    ['temperature difference', 'temperatureDifference'],
    ['volume', 'volume'],
    ['frequency', 'frequency'],
    ['speed', 'speed'],
    ['resistance', 'resistance'],
    ['voltage', 'voltage'],
    ['current', 'current'],
    ['length in a picture', 'pictureLength'],
    ['rate of pressure', 'pressureRate'],
    ['rate of temperature', 'temperatureRate'],
    ['ratio', 'ratio'],
  ])('names every unit of %s', (name, dimension) => {
    const row = DOC.match(new RegExp(`^\\| ${name} \\| (\`.*) \\|$`, 'm'))?.[1] ?? '';
    const shown = row
      .split(' ')
      .filter((word) => word.startsWith('`'))
      .map((word) => word.slice(1, -1));
    expect(shown).toEqual(UNITS.filter((unit) => unit.dimension === dimension).map((unit) => unit.symbol));
  });
});
