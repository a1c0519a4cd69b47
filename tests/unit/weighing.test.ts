/** A projectile weighed after its shot: everything that hangs on the mass is made anew, and nothing is forgotten. */
import { beforeAll, expect, test } from 'vitest';
import { INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import type { OperatorAct, PipelineEvent, PosternRecord, Shot, ShotEvent } from '../../protocol/index.ts';
import { known } from '../support/known.ts';
import { HERON_YAML, runVirtualRange, type VirtualRun } from '../support/virtual-range.ts';

const STATED = 'mass: 126.0 g ± 0.2 g';
const WEIGHED = 'mass: 124.2 g ± 0.1 g';
const MASS = { valueKg: 0.1242, standardUncertaintyKg: 0.00005 };

let range: VirtualRun;
let endNs: number;
beforeAll(() => {
  range = runVirtualRange({ seed: 21, shots: 2, sessionId: 'cs-w' });
  endNs = known(range.records.at(-1)).atNs;
});

type Weigh = Extract<OperatorAct, { act: 'weigh' }>;
const weighing = (value: Partial<Weigh> & { readonly after?: number }): PosternRecord => {
  const { after = 1, ...rest } = value;
  const act = { act: 'weigh', shotId: 'cs-w-001', mass: MASS, reason: 'on the balance', who: 'Ane', ...rest } as const;
  return { kind: 'operator', source: 'operator', atNs: endNs + after * 1e9, value: act };
};

function run(records: readonly PosternRecord[]): { readonly state: PipelineState; readonly events: readonly PipelineEvent[] } {
  let state: PipelineState = INITIAL_STATE;
  const events: PipelineEvent[] = [];
  for (const record of records) {
    const [next, told] = step(state, record);
    state = next;
    events.push(...told);
  }
  return { state, events };
}

const lastOf = (events: readonly PipelineEvent[], id: string): Shot =>
  known(events.findLast((event): event is ShotEvent => event.type === 'shot' && event.phase === 'closed' && event.shot.id === id)).shot;

const without = ({ weighed: _, ...shot }: Shot): Omit<Shot, 'weighed'> => shot;

const withRig = (from: string, to: string): readonly PosternRecord[] => {
  expect(HERON_YAML).toContain(from);
  return range.records.map((record) =>
    record.kind === 'rig' ? { ...record, value: { ...record.value, text: record.value.text.replace(from, to) } } : record,
  );
};

test('the shot is what a rig file with that mass would have made of it, to the last digit', () => {
  const { events } = run([...range.records, weighing({})]);
  const stated = run(withRig(STATED, WEIGHED)).events;
  const shot = lastOf(events, 'cs-w-001');
  expect(without(shot)).toEqual(lastOf(stated, 'cs-w-001'));
  expect(shot.traces.length).toBeGreaterThan(0);
  expect(shot.weighed).toEqual({
    ...MASS,
    atNs: endNs + 1e9,
    reason: 'on the balance',
    who: 'Ane',
    insteadOf: { valueKg: 0.126, standardUncertaintyKg: 0.0001 },
  });
  const before = known(range.shots[0]);
  // Energy goes with the mass; so does the drag that a given loss of speed asks for.
  expect(known(shot.muzzleEnergyJ).value / known(before.muzzleEnergyJ).value).toBeCloseTo(0.1242 / 0.126, 3);
  expect(known(shot.dragCoefficient).value / known(before.dragCoefficient).value).toBeCloseTo(0.1242 / 0.126, 2);
});

test('other shots stay as they are, and the act tells what was before', () => {
  const { events } = run([...range.records, weighing({}), weighing({ mass: { ...MASS, valueKg: 0.1246 }, after: 2 })]);
  expect(lastOf(events, 'cs-w-002')).toEqual(range.shots[1]);
  const told = events.filter((event) => event.type === 'shot-weighed');
  expect(told.map(({ before, after }) => [before.valueKg, after.valueKg])).toEqual([
    [0.126, 0.1242],
    [0.1242, 0.1246],
  ]);
});

test('taken back, the shot is as it was closed', () => {
  const back: Weigh = { act: 'weigh', shotId: 'cs-w-001', reason: 'it was another ball', who: 'Bo' };
  const { events } = run([...range.records, weighing({}), { kind: 'operator', source: 'operator', atNs: endNs + 2e9, value: back }]);
  expect(lastOf(events, 'cs-w-001')).toEqual(range.shots[0]);
});

test('under another rig file it is still reduced under the one that it was fired under', () => {
  const rig = known(range.records.find((record) => record.kind === 'rig'));
  const corrected = rig.value.text.replace('target: 11.000 m', 'target: 10.500 m');
  const later: PosternRecord = { ...rig, atNs: endNs + 0.5e9, value: { ...rig.value, text: corrected } };
  const { events } = run([...range.records, later, weighing({})]);
  const alone = run([...range.records, weighing({})]).events;
  expect(lastOf(events, 'cs-w-001')).toEqual(lastOf(alone, 'cs-w-001'));
});

test.each([
  [{ shotId: 'cs-w-007' }, /no shot cs-w-007 among the last/],
  [{ reason: ' ' }, /say why/],
  [{ mass: { valueKg: 124.2, standardUncertaintyKg: 0.1 } }, /far from the rig file’s 126 g; check its unit/],
  [{ mass: { valueKg: 0.1242, standardUncertaintyKg: 0.1 } }, /says nothing/],
  [{ mass: { valueKg: Number.NaN, standardUncertaintyKg: 0 } }, /check its unit/],
])('%o is refused with one sentence, and changes nothing', (value, why) => {
  const before = run(range.records);
  const { state, events } = run([...range.records, weighing(value)]);
  const refusal = events.findLast((event) => event.type === 'act-refused');
  expect(refusal).toMatchObject({ type: 'act-refused', act: 'weigh', why: expect.stringMatching(why) });
  expect(state.shots).toEqual(before.state.shots);
});
