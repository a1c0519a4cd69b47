/** What the crew's list, their gauges and their notes make of whole sessions of the simulated range. */
import { beforeAll, describe, expect, test } from 'vitest';
import { INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import type { HoldPointsEvent, OffsetEvent, OperatorAct, PipelineEvent, PosternRecord, ShotEvent } from '../../protocol/index.ts';
import { known } from '../support/known.ts';
import { HERON_YAML, runVirtualRange, type VirtualRun } from '../support/virtual-range.ts';

const act = (atNs: number, value: OperatorAct): PosternRecord => ({ kind: 'operator', source: 'operator', atNs, value });
const tick = (atNs: number, holdPointId: string): PosternRecord => act(atNs, { act: 'hold-point', holdPointId, done: true, who: 'Ane' });

function run(records: readonly PosternRecord[]) {
  let state: PipelineState = INITIAL_STATE;
  const events: PipelineEvent[] = [];
  for (const record of records) {
    const [next, told] = step(state, record);
    state = next;
    events.push(...told);
  }
  return { state, events, lists: events.filter((event): event is HoldPointsEvent => event.type === 'hold-points') };
}

/** Records by time, a tick among them. */
const among = (records: readonly PosternRecord[], more: readonly PosternRecord[]): readonly PosternRecord[] => {
  let left = [...more];
  return records.flatMap((record) => {
    const due = left.filter(({ atNs }) => atNs <= record.atNs);
    left = left.filter(({ atNs }) => atNs > record.atNs);
    return [...due, record];
  });
};

const point = (list: HoldPointsEvent | undefined, id: string) => known(known(list).points.find((each) => each.id === id));

let range: VirtualRun;
beforeAll(() => {
  range = runVirtualRange({ seed: 11, shots: 2 });
});

const clocksFrom = (fromNs: number, seconds: number): readonly PosternRecord[] =>
  Array.from({ length: 2 * seconds }, (_, i): PosternRecord => {
    const atNs = fromNs + (i + 1) * 0.5e9;
    return { kind: 'clock', source: 'host', atNs, value: { utcUs: 1e15 + atNs / 1e3 } };
  });

describe('hold points', () => {
  test('of a shot that is heard of late: ticks made before it was fired go, those made since stay', () => {
    // The board's wire is out around the firing, and its memory is read afterwards.
    const firedS = known(range.shots[0]).firedAtNs / 1e9;
    const late = runVirtualRange({ seed: 11, shots: 1, unplugged: { fromS: firedS - 0.2, toS: firedS + 3 } });
    const heard = known(late.events.find((event): event is ShotEvent => event.type === 'shot'));
    expect(heard.atNs - heard.shot.firedAtNs).toBeGreaterThan(2e9);
    const { lists } = run(among(late.records, [tick((firedS - 1) * 1e9, 'tool-out'), tick((firedS + 1) * 1e9, 'range-clear')]));
    expect(lists.some((list) => point(list, 'tool-out').done && point(list, 'range-clear').done)).toBe(true);
    expect(point(lists.at(-1), 'tool-out')).toMatchObject({ done: false, who: '', detail: 'taken back when shot 1 was fired' });
    expect(point(lists.at(-1), 'range-clear')).toMatchObject({ done: true, who: 'Ane' });
  });

  test('come to ready before a firing at the real pace, do not flicker, and are un-ticked by a gauge that falls silent', () => {
    const { records, shots } = runVirtualRange({ seed: 11, shots: 1, pace: 'real', setPoints: 'target' });
    const firedNs = known(shots[0]).firedAtNs;
    const crew = ['tool-out', 'range-clear', 'protection', 'cameras', 'pump-off'];
    const before = records.filter(({ atNs }) => atNs < firedNs);
    const { lists, state } = run(
      among(
        before,
        crew.map((id) => tick(1e9, id)),
      ),
    );
    expect(known(lists.at(-1)).points.filter(({ done }) => !done)).toEqual([]);
    expect(lists.at(-1)?.ready).toBe(true);
    for (const id of ['fill', 'vacuum', 'weather', 'instruments', 'beams']) {
      const changes = lists.filter((list, i) => i > 0 && point(list, id).done !== point(lists[i - 1], id).done);
      expect(changes.map((list) => [id, point(list, id).done])).toEqual([[id, true]]);
    }
    // From here on no board says anything any more, and the vacuum gauge was the last word on the barrel.
    let silent = state;
    const told: PipelineEvent[] = [];
    for (const record of clocksFrom(firedNs, 6)) {
      const [next, events] = step(silent, record);
      silent = next;
      told.push(...events);
    }
    const last = told.findLast((event): event is HoldPointsEvent => event.type === 'hold-points');
    expect(last?.ready).toBe(false);
    expect(point(last, 'vacuum')).toMatchObject({ done: false, detail: 'the transducer is disconnected' });
    expect(point(last, 'fill')).toMatchObject({ done: false, detail: 'the transducer is disconnected' });
  });
});

test('an instrument that is heard and not understood is not counted as running', () => {
  const rigText = HERON_YAML.replace("'^P=", "'^Q=").replace('example: P=', 'example: Q=');
  const { events } = runVirtualRange({ seed: 11, shots: 1, rigText });
  const last = events.findLast((event): event is HoldPointsEvent => event.type === 'hold-points');
  expect(point(last, 'instruments')).toMatchObject({ done: false, detail: 'fill-gauge is heard, and gives nothing that can be read' });
});

describe('a gauge that stands off zero', () => {
  const off = (events: readonly PipelineEvent[]) => events.filter((event): event is OffsetEvent => event.type === 'offset');
  let loading: VirtualRun;
  beforeAll(() => {
    loading = runVirtualRange({ seed: 11, shots: 1, pace: 'real', untilS: 12 });
  });

  test('is told before the pump starts and the fill begins, whichever the transducer', () => {
    const early = off(loading.events);
    expect(new Set(early.map(({ channel }) => channel))).toEqual(new Set(['reservoirPressure', 'barrelVacuum', 'barrelPressure']));
    // As drawn for this seed, all are within what the rig file allows them.
    expect(early.filter(({ verdict }) => verdict === 'beyond-claim')).toEqual([]);
  });

  test('is told beyond its claim where a rig file has its table wrong', () => {
    // Each raw number is taken for 8 kPa more.
    const rigText = HERON_YAML.replace(
      '[[0.5 V, 0 kPa absolute], [4.5 V, 120 kPa absolute]]',
      '[[0.5 V, 8 kPa absolute], [4.5 V, 128 kPa absolute]]',
    );
    const wrong = loading.records.map((record) =>
      record.kind === 'rig' ? { ...record, value: { ...record.value, text: rigText } } : record,
    );
    const vacuum = known(off(run(wrong).events).find(({ channel }) => channel === 'barrelVacuum'));
    expect(vacuum.verdict).toBe('beyond-claim');
    expect(Math.abs(vacuum.offsetSi.value - 8e3)).toBeLessThan(1e3);
    expect(vacuum.words).toMatch(/barrelVacuum shows .* kPa ± .* too much, beyond .*set it to zero/);
  });
});

test('a shot made with a calibration past its date is flagged, and names the channels', () => {
  const rigText = HERON_YAML.replaceAll('calibrationDue: 2028-02-10', 'calibrationDue: 2026-03-01');
  const [shot] = runVirtualRange({ seed: 11, shots: 1, rigText }).shots;
  expect(shot?.flags).toContain('calibration-overdue');
  expect(shot?.calibrationOverdue).toEqual(['reservoirPressure', 'barrelPressure']);
  expect(range.shots[0]?.flags).not.toContain('calibration-overdue');
  expect(range.shots[0]?.calibrationOverdue).toBeUndefined();
});

test('a shot’s barrel pressure is that of the surer gauge', () => {
  for (const [i, { barrelPressurePa }] of range.shots.entries()) {
    const { value, standardUncertainty, ageS } = known(barrelPressurePa);
    // The vacuum gauge's ± 0.25 % of 120 kPa; the fast one would have ± 0.1 % of 1.2 MPa.
    expect(standardUncertainty).toBeLessThan(200);
    expect(ageS).toBeLessThan(0.2);
    expect(Math.abs(value - known(range.truth[i]).barrelPressurePa)).toBeLessThan(4 * standardUncertainty);
  }
});

test('a note goes with its writer, and to no shot that there never was', () => {
  const shotId = known(range.shots[0]).id;
  const atNs = known(range.records.at(-1)).atNs + 1;
  const note = (more: object): PosternRecord => act(atNs, { act: 'note', text: 'film changed', ...more });
  const { events } = run([...range.records, note({ shotId, who: 'Bo' }), note({ shotId: 'no-such' })]);
  expect(events.slice(-2)).toMatchObject([
    { type: 'note', text: 'film changed', shotId, who: 'Bo' },
    { type: 'act-refused', act: 'note', why: expect.stringContaining('no-such') },
  ]);
});
