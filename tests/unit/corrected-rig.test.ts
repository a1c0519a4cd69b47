/** A session reduced again under a corrected rig file: what its crew had set right, and what is said of the difference. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { foldRecord, NOTHING_FOLDED } from '../../host/cli/replay/recorded-fold.ts';
import { compareRigs, comparisonLines } from '../../host/cli/replay/rig-comparison.ts';
import { channelShown, differenceOf, proposeCalibration, proposeZero } from '../../host/pipeline/index.ts';
import type { BudgetLine, OperatorAct, PipelineEvent, PosternRecord, Result, Shot } from '../../protocol/index.ts';
import { AIR, BARREL_AT_AIR, rigRecord } from '../support/crew-host.ts';
import { known } from '../support/known.ts';
import { HERON_YAML, runVirtualRange } from '../support/virtual-range.ts';

const RECORDED = rigRecord();
/** The table of the barrel's transducer was 2 kPa low but for its lowest point. */
const CORRECTED = {
  fileName: 'corrected.yaml',
  text: RECORDED.value.text.replace(/ V, (\d+) kPa absolute\]/g, (_, kPa) => ` V, ${kPa === '0' ? 0 : Number(kPa) + 2} kPa absolute]`),
};

/** Weather and the barrel's pin for so long, ten times a second. */
function readings(fromS: number, toS: number): readonly PosternRecord[] {
  return Array.from({ length: Math.round((toS - fromS) * 10) }, (_, i) => {
    const atNs = Math.round((fromS + i / 10) * 1e9);
    return [
      { kind: 'reading', source: 'weather', atNs, value: { ...AIR, A0: BARREL_AT_AIR } },
      { kind: 'clock', source: 'host', atNs, value: { utcUs: 1e15 + atNs / 1e3 } },
    ] satisfies PosternRecord[];
  }).flat();
}

function run(records: readonly PosternRecord[], corrected?: typeof CORRECTED) {
  const events: PipelineEvent[] = [];
  let fold = NOTHING_FOLDED;
  for (const record of records) {
    const [next, said] = foldRecord(fold, record, corrected);
    fold = next;
    events.push(...said);
  }
  return { state: fold.pipeline, events };
}

describe('what the crew had set right', () => {
  const before = [RECORDED, ...readings(0, 5)];
  const act = (value: OperatorAct): PosternRecord => ({ kind: 'operator', source: 'operator', atNs: 5e9, value });
  const shownSi = (records: readonly PosternRecord[], corrected?: typeof CORRECTED): number => {
    const shown = channelShown(run(records, corrected).state, 'barrelPressure', known(records.at(-1)).atNs);
    return shown.ok ? shown.value.shownSi : Number.NaN;
  };

  test('the correction is one', () => {
    expect(CORRECTED.text).not.toBe(RECORDED.value.text);
    expect(shownSi(before, CORRECTED) - shownSi(before)).toBeCloseTo(2_000, -1);
  });

  test('a zero holds: the channel shows under either file what it was said to show', () => {
    const zero = proposeZero(run(before).state, 'barrelPressure', AIR.pressure, 5e9);
    if (!zero.ok) throw new Error(zero.why);
    const records = [...before, act({ ...zero.value.act, who: 'Ane' } as OperatorAct), ...readings(5, 8)];
    expect(shownSi(records)).toBeCloseTo(AIR.pressure, 0);
    expect(shownSi(records, CORRECTED)).toBeCloseTo(AIR.pressure, 0);
    expect(run(records, CORRECTED).events.filter(({ type }) => type === 'act-refused')).toEqual([]);
  });

  test('a calibration at two points is left out and told, where its channel was corrected; else it holds', () => {
    const points = [
      { shownSi: 10_000, shouldReadSi: 10_500 },
      { shownSi: 98_000, shouldReadSi: 98_300 },
    ] as const;
    const lines = proposeCalibration(run(before).state, 'barrelPressure', points, 5e9);
    if (!lines.ok) throw new Error(lines.why);
    const records = [...before, act({ ...lines.value.act, who: 'Ane' } as OperatorAct), ...readings(5, 8)];
    const under = run(records, CORRECTED);
    expect(under.events.filter(({ type }) => type === 'act-refused')).toMatchObject([
      { act: 'calibrate', why: expect.stringMatching(/barrelPressure/) },
    ]);
    expect(under.state.crew.adjustments).toEqual({});
    const elsewhere = { ...CORRECTED, text: RECORDED.value.text.replace(/site: .*/, 'site: Another Sike') };
    expect(run(records, elsewhere).state.crew.adjustments).toEqual(run(records).state.crew.adjustments);
  });
});

const line = fc.record({
  input: fc.constantFrom('gate spacing', 'gate delay', 'air temperature', 'mass'),
  unit: fc.constant('m'),
  value: fc.double({ min: -10, max: 10, noNaN: true }),
  standardUncertainty: fc.double({ min: 1e-6, max: 1, noNaN: true }),
  sensitivity: fc.double({ min: -100, max: 100, noNaN: true }),
});
const result = fc.uniqueArray(line, { selector: ({ input }) => input }).chain((lines) =>
  fc.double({ min: -1e3, max: 1e3, noNaN: true }).map((value): Result => {
    const budget: readonly BudgetLine[] = lines.map((each) => ({
      ...each,
      contribution: Math.abs(each.sensitivity) * each.standardUncertainty,
    }));
    const u = Math.hypot(...budget.map(({ contribution }) => contribution));
    return { value, unit: 'm/s', standardUncertainty: u, expandedUncertainty: 2 * u, coverageFactor: 2, budget, advice: '' };
  }),
);

describe('the difference of one result under two rig files', () => {
  test('is nothing, and surely so, where nothing was corrected', () => {
    fc.assert(
      fc.property(result, (one) => {
        expect(differenceOf(one, one)).toMatchObject({ value: 0, standardUncertainty: 0 });
      }),
    );
  });

  test('is as unsure as both together where they share nothing, and never more', () => {
    fc.assert(
      fc.property(result, result, (one, other) => {
        const both = Math.hypot(one.standardUncertainty, other.standardUncertainty);
        const apart = { ...other, budget: other.budget.map((each) => ({ ...each, input: `another ${each.input}` })) };
        expect(differenceOf(one, apart).standardUncertainty).toBeCloseTo(both, 9);
        expect(differenceOf(one, other).standardUncertainty).toBeLessThanOrEqual(Math.hypot(both, both) + 1e-9);
      }),
    );
  });

  test('of an input that was measured anew counts both measurements of it', () => {
    const make = (value: number, u: number): Result => {
      const spacing = { input: 'gate spacing', unit: 'm', value, standardUncertainty: u, sensitivity: 300, contribution: 300 * u };
      const clock = { input: 'clock', unit: 's', value: 0, standardUncertainty: 1e-6, sensitivity: 5e4, contribution: 0.05 };
      const own = Math.hypot(300 * u, 0.05);
      return {
        value: 300 * value,
        unit: 'm/s',
        standardUncertainty: own,
        expandedUncertainty: 2 * own,
        coverageFactor: 2,
        budget: [spacing, clock],
        advice: '',
      };
    };
    const { value, standardUncertainty } = differenceOf(make(1, 4e-4), make(1.001, 3e-4));
    expect(value).toBeCloseTo(0.3, 9);
    expect(standardUncertainty).toBeCloseTo(300 * 5e-4, 12);
  });
});

test('shots are put beside each other by when they were fired; one that only one file makes is told so', () => {
  const { shots } = runVirtualRange({ seed: 8, shots: 2, rigText: HERON_YAML });
  const [first, second] = shots.map((shot) => known<Shot>(shot));
  const comparison = compareRigs(
    'virtual',
    { rigFile: 'a.yaml', shots: [known(first), known(second)] },
    { rigFile: 'b.yaml', shots: [{ ...known(second), id: 'virtual-001' }] },
  );
  expect(comparison.shots).toMatchObject([
    { id: 'virtual-001', recordedId: 'virtual-001' },
    { id: 'virtual-002', recordedId: 'virtual-002', correctedId: 'virtual-001' },
  ]);
  expect(comparison.shots[0]).not.toHaveProperty('correctedId');
  const text = comparisonLines(comparison).join('\n');
  expect(text).toMatch(/Shot virtual-001, .*: only under the recorded rig file\./);
  expect(text).toMatch(/Shot virtual-002, .* \(virtual-001 under the corrected rig file\)/);
  expect(text).toMatch(/Muzzle velocity +\d+\.\d+ m\/s ± \d+\.\d+ +\d+\.\d+ m\/s ± \d+\.\d+ +none/);
});
