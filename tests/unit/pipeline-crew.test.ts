/** The crew's acts through the whole pipeline: hold points, alarms seen, channels set right, aim and impact. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { calibrated, zeroed } from '../../host/pipeline/crew/index.ts';
import { INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import { loadRig } from '../../host/rig/index.ts';
import type { HoldPointsEvent, ImpactsEvent, OperatorAct, PipelineEvent, PosternRecord } from '../../protocol/index.ts';
import { known } from '../support/known.ts';
import { runVirtualRange } from '../support/virtual-range.ts';

const INSTRUMENTS = readFileSync(new URL('../support/instruments.yaml', import.meta.url), 'utf8');
const rig: PosternRecord = {
  kind: 'rig',
  source: 'host',
  atNs: 0,
  value: { sessionId: 'cs-1', softwareVersion: '0.1.0', protocolVersion: 1, fileName: 'rig.yaml', text: INSTRUMENTS },
};
const act = (atS: number, value: OperatorAct): PosternRecord => ({
  kind: 'operator',
  source: 'operator',
  atNs: Math.round(atS * 1e9),
  value,
});
const reading = (atS: number, value: Readonly<Record<string, number>>): PosternRecord => ({
  kind: 'reading',
  source: 'weather',
  atNs: Math.round(atS * 1e9),
  value,
});
const clock = (atS: number): PosternRecord => ({
  kind: 'clock',
  source: 'host',
  atNs: Math.round(atS * 1e9),
  value: { utcUs: 1e15 + atS * 1e6 },
});

function run(records: readonly PosternRecord[], from: PipelineState = INITIAL_STATE) {
  let state = from;
  const events: PipelineEvent[] = [];
  for (const record of records) {
    const [next, out] = step(state, record);
    state = next;
    events.push(...out);
  }
  const lists = events.filter((event): event is HoldPointsEvent => event.type === 'hold-points');
  return { state, events, lists, refused: events.filter((event) => event.type === 'act-refused') };
}

const AIR = { temperature: 285.2, pressure: 98_200, humidity: 0.61 };
const BORE = 'Sighting tool out of the bore';

describe('hold points', () => {
  const opened = run([rig]);
  const points = known(opened.lists.at(-1)).points;
  const bore = known(points.find(({ name }) => name === BORE));

  test('are listed in the rig file’s order, none done, and not ready', () => {
    expect(points.map(({ name }) => name)).toEqual([BORE, 'Fill settled', 'Barrel evacuated', 'Weather fresh']);
    expect(opened.lists.at(-1)).toMatchObject({ ready: false });
    expect(points.every(({ done }) => !done)).toBe(true);
  });

  test('of the crew are ticked and taken back by name; what nobody may tick is refused, and changes nothing', () => {
    const { lists, refused, state } = run([rig, act(1, { act: 'hold-point', holdPointId: bore.id, done: true, who: 'Ane' })]);
    expect(known(lists.at(-1)).points[0]).toMatchObject({ done: true, who: 'Ane', sinceNs: 1e9 });
    expect(refused).toEqual([]);
    const more = run(
      [
        act(2, { act: 'hold-point', holdPointId: 'settled', done: true, who: 'Ane' }),
        act(3, { act: 'hold-point', holdPointId: 'no-such', done: true, who: 'Ane' }),
      ],
      state,
    );
    expect(more.refused).toHaveLength(2);
    expect(more.state.crew.ticks).toBe(state.crew.ticks);
    const back = run([act(4, { act: 'hold-point', holdPointId: bore.id, done: false, who: 'Bo' })], state);
    expect(known(back.lists.at(-1)).points[0]).toMatchObject({ done: false });
  });

  test('that the program can see tick themselves, and un-tick when it is so no more', () => {
    const weather = (lists: readonly HoldPointsEvent[]) => known(lists.at(-1)).points.at(-1);
    const fresh = run([rig, ...[1, 2, 3].map((s) => reading(s, AIR)), clock(3.5), clock(4)]);
    expect(weather(fresh.lists)).toMatchObject({ name: 'Weather fresh', done: true });
    const silent = run([clock(6), clock(10), clock(200)], fresh.state);
    expect(weather(silent.lists)).toMatchObject({ done: false });
    expect(weather(silent.lists)?.detail).toMatch(/air temperature is disconnected/);
  });

  test('start over after a firing on the range', () => {
    const text = `holdPoints:\n  - { name: Range clear, by: crew }\n  - { name: Gates clear, when: gates-clear }\n  - { name: Links running, when: links-running }\n`;
    const virtual = runVirtualRange({ seed: 7, shots: 1, rigText: HERON_WITH(text) });
    let state = INITIAL_STATE;
    let ticked = false;
    const lists: HoldPointsEvent[] = [];
    for (const record of virtual.records) {
      const [next, events] = step(state, record);
      state = next;
      lists.push(...events.filter((event): event is HoldPointsEvent => event.type === 'hold-points'));
      if (ticked || record.atNs < 1e9) continue;
      ticked = true;
      const id = known(known(lists.at(-1)).points[0]).id;
      const [after, told] = step(state, act(record.atNs / 1e9, { act: 'hold-point', holdPointId: id, done: true, who: 'Ane' }));
      state = after;
      lists.push(...told.filter((event): event is HoldPointsEvent => event.type === 'hold-points'));
    }
    const crew = lists.map(({ points: list }) => known(list[0]).done);
    expect(crew.indexOf(true)).toBeGreaterThan(0);
    expect(crew.at(-1)).toBe(false);
    const gates = lists.map(({ points: list }) => known(list[1]));
    expect(gates.some(({ done }) => done)).toBe(true);
    expect(gates.some(({ done, detail }) => !done && /blocked: /.test(detail))).toBe(true);
  });
});

const HERON_WITH = (keys: string): string =>
  readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8')
    .replace(/^holdPoints:\n( {2}.*\n)+/m, '')
    .replace('assumedAir:', `${keys}\nassumedAir:`);

describe('a channel set right', () => {
  const none = { gain: 1, offsetSi: 0 };

  test('reads so from then on, in samples and in what is latched; who, before and after are told', () => {
    const after = { gain: 1, offsetSi: 284.9 - 285.2 };
    const zero: OperatorAct = { act: 'zero', channel: 'airTemperature', shouldReadSi: 284.9, before: none, after, who: 'Ane' };
    const { events, refused } = run([rig, reading(1, AIR), act(2, zero), reading(3, AIR)]);
    expect(refused).toEqual([]);
    expect(events).toContainEqual({ type: 'adjusted', atNs: 2e9, channel: 'airTemperature', act: 'zero', before: none, after, who: 'Ane' });
    const seen = events.flatMap((event) => (event.type === 'samples' && event.channel === 'airTemperature' ? event.valuesSi : []));
    expect(seen[0]).toBe(285.2);
    expect(seen[1]).toBeCloseTo(284.9, 9);
  });

  test('is refused where another was quicker, and for a channel that is not there', () => {
    const zero = (channel: string): OperatorAct => ({
      act: 'zero',
      channel,
      shouldReadSi: 1,
      before: none,
      after: { gain: 1, offsetSi: 5 },
      who: 'Bo',
    });
    const { refused, state } = run([rig, act(1, zero('airPressure')), act(2, zero('airPressure')), act(3, zero('nothing'))]);
    expect(refused).toHaveLength(2);
    expect(state.crew.adjustments).toEqual({ airPressure: { gain: 1, offsetSi: 5 } });
  });

  test('by two points takes gain and offset from them, and refuses what is a fault and no calibration', () => {
    const loaded = loadRig(INSTRUMENTS, 'rig.yaml');
    const channel = known(loaded.ok ? loaded.rig.channels.find(({ name }) => name === 'reservoirPressure') : undefined);
    // Of 6 MPa.
    const points = [
      { readSi: 0.1e6, shouldReadSi: 0 },
      { readSi: 1.1e6, shouldReadSi: 1.05e6 },
    ] as const;
    const right = calibrated(channel, points);
    expect(right).toMatchObject({ ok: true, after: { gain: 1.05 } });
    if (right.ok)
      for (const { readSi, shouldReadSi } of points) expect(right.after.gain * readSi + right.after.offsetSi).toBeCloseTo(shouldReadSi, 6);
    expect(calibrated(channel, [points[0], { readSi: 0.12e6, shouldReadSi: 0.021e6 }])).toMatchObject({ ok: false });
    expect(calibrated(channel, [points[0], { readSi: 1.1e6, shouldReadSi: 9e6 }])).toMatchObject({ ok: false });
    expect(zeroed(channel, { readSi: 1e6, shouldReadSi: 0 }, { before: none, calibrated: none })).toMatchObject({ ok: false });
    expect(zeroed(channel, { readSi: Number.NaN, shouldReadSi: 0 }, { before: none, calibrated: none })).toMatchObject({ ok: false });
  });
});

test('an alarm that is seen is told so; one that is not there is refused', () => {
  const { records } = runVirtualRange({
    seed: 7,
    shots: 1,
    rigText: HERON_WITH('limits:\n  - { channel: reservoirPressure, above: 0.7 MPa gauge, message: Over the mark }\n').replace(
      /^limits:\n( {2}.*\n)+(?=[\s\S]*^limits:)/m,
      '',
    ),
  });
  let state = INITIAL_STATE;
  let id: string | undefined;
  const after: PipelineEvent[] = [];
  for (const record of records) {
    const [next, events] = step(state, record);
    state = next;
    const alarm = events.find((event) => event.type === 'limit' && event.audible && event.words.includes('Over the mark'));
    if (id !== undefined || alarm?.type !== 'limit') continue;
    id = alarm.id;
    const [seen, told] = step(state, act(record.atNs / 1e9, { act: 'acknowledge', limitId: id, who: 'Ane' }));
    const [, refused] = step(seen, act(record.atNs / 1e9, { act: 'acknowledge', limitId: 'no-such', who: 'Ane' }));
    state = seen;
    after.push(...told, ...refused);
  }
  expect(after).toMatchObject([
    { type: 'limit', state: 'active-acknowledged', acknowledgedBy: 'Ane' },
    { type: 'act-refused', act: 'acknowledge' },
  ]);
});

test('impacts of a series give its mean with Student’s t, its spread, and what to hold next', () => {
  const virtual = runVirtualRange({ seed: 7, shots: 3 });
  const at = (rightM: number, upM: number) => ({ rightM, upM });
  let state = INITIAL_STATE;
  let aimed = false;
  for (const record of virtual.records) {
    [state] = step(state, record);
    if (!aimed && record.atNs > 1e9) [state] = step(state, act(record.atNs / 1e9, { act: 'aim', at: at(0, 0.01), who: 'Ane' }));
    aimed ||= record.atNs > 1e9;
  }
  const [a, b, c] = virtual.shots.map(({ id }) => id) as [string, string, string];
  const { events, refused } = run(
    [
      act(91, { act: 'impact', shotId: a, at: at(0.01, 0.02), who: 'Ane' }),
      act(92, { act: 'impact', shotId: b, at: at(0.03, 0.02), who: 'Ane' }),
      act(93, { act: 'impact', shotId: c, at: at(0.02, 0.05), who: 'Ane' }),
      act(94, { act: 'impact', shotId: 'cs-nobody', at: at(0, 0), who: 'Ane' }),
      act(95, { act: 'exclude', shotId: b, excluded: true, reason: 'film torn', who: 'Ane' }),
    ],
    state,
  );
  expect(refused).toHaveLength(1);
  // The last is of the series without the shot that was left out.
  const [told, without] = events.filter((event) => event.type === 'impacts').slice(-2) as [ImpactsEvent, ImpactsEvent];
  expect(told.impacts.map(({ shotId }) => shotId)).toEqual([a, b, c]);
  expect(told.impacts[0]?.dropM).toBeGreaterThan(1e-3);
  expect(told.mean?.rightM.value).toBeCloseTo(0.02, 12);
  expect(told.mean?.upM.value).toBeCloseTo(0.02, 12);
  expect(told.spreadM?.right).toBeCloseTo(0.01, 12);
  // JCGM 100:2008, table G.2: 4.30 for 95 % and two degrees of freedom.
  expect(known(told.mean).rightM.expandedUncertainty / known(told.mean).rightM.standardUncertainty).toBeCloseTo(4.3, 2);
  expect(told.holdNext).toEqual({ rightM: -known(told.mean).rightM.value, upM: -known(told.mean).upM.value });
  expect(without.impacts.map(({ excluded }) => excluded)).toEqual([undefined, true, undefined]);
  expect(without.mean?.rightM.value).toBeCloseTo(0.015, 12);
  expect(events).toContainEqual(expect.objectContaining({ type: 'shot-excluded', shotId: b, reason: 'film torn' }));
});
