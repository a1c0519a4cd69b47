/** docs/rig-file.md against the code: its examples load, and its table has every key, default and unit. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse, stringify } from 'yaml';
import { DEFAULTS, loadRig, type RigLoad } from '../../host/rig/index.ts';
import { knownKeys } from '../../host/rig/keys.ts';
import { type Dimension, UNITS } from '../../host/units/index.ts';

const DOC = readFileSync(new URL('../../docs/rig-file.md', import.meta.url), 'utf8');
const HERON = readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8');
const blocks = [...DOC.matchAll(/^```yaml\n([\s\S]*?)^```$/gm)].map(([, text = '']) => text);

function loaded(load: RigLoad) {
  if (!load.ok) throw new Error(JSON.stringify(load.problems));
  return load.rig;
}

describe('docs/rig-file.md', () => {
  it('shows the rig file of Heron as it is', () => {
    expect(blocks[0]).toBe(HERON);
  });

  it('has further examples, which load in the place of what Heron has', () => {
    const further = blocks.slice(1);
    expect(further.length).toBeGreaterThan(0);
    for (const block of further) {
      const rig = loaded(loadRig(stringify({ ...parse(HERON), ...parse(block) }), 'example'));
      expect(rig.gates[0]?.positionM.value).toBeCloseTo(1.524, 12);
      // ± 0.05 in: expanded at the near gate, rectangular at the far one.
      expect(rig.gates[0]?.positionM.standardUncertainty).toBeCloseTo(0.000635, 12);
      expect(rig.gates[1]?.positionM.standardUncertainty).toBeCloseTo(0.00127 / Math.sqrt(3), 12);
      // What is left out has its default.
      expect(rig.gates[0]).toMatchObject({ delayS: { value: 0, standardUncertainty: 0.25e-6 }, jitterS: expect.closeTo(0.2e-6, 15) });
      expect(rig.assumedAir.pressurePa).toEqual({ value: 101_325, standardUncertainty: 7500 });
      expect(rig.assumedAir.relativeHumidity.standardUncertainty).toBeCloseTo(0.5 / Math.sqrt(3), 12);
      expect(rig.airStaleAfterS).toBe(120);
      // 1 % of 30 inHg, halved.
      expect(rig.channels[0]?.standardUncertaintySi).toBeCloseTo(0.15 * 3386.388640341, 6);
    }
  });

  it('has a row for every key, and no other', () => {
    const rows = [...DOC.matchAll(/^\| `([\w.*[\]]+)` \|.*\|.*\|.*\|$/gm)].map(([, key = '']) => key);
    const expected = knownKeys().map((key) => key.replace(/^channels\.\w+/, 'channels.*'));
    // The ways to a group are told by the keys in it; a board's own row says what its name may be.
    const leaves = [...new Set(expected)].filter(
      (key) => !expected.some((other) => other.startsWith(`${key}.`) || other.startsWith(`${key}[`)),
    );
    expect(rows.filter((key) => key !== 'boards.*').toSorted()).toEqual(leaves.toSorted());
  });

  it('has the defaults that the code has', () => {
    const shown = [...DOC.matchAll(/^\| `[\w.*[\]]+` \|.*\|.*\| `(.+)` \|$/gm)].map(([, text]) => text);
    expect(shown.toSorted()).toEqual(Object.values(DEFAULTS).toSorted());
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
