/** The crew's acts as a fold: order, repetition and refusal, over whole sessions drawn at random. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { adjusted, calibrated, calibrationOverdue, offsetAtAmbient, spanOf, unadjusted, zeroed } from '../../host/pipeline/crew/index.ts';
import { INITIAL_STATE, type PipelineState, proposeCalibration, proposeZero, step } from '../../host/pipeline/index.ts';
import { loadRig } from '../../host/rig/index.ts';
import { readAct } from '../../host/serve/operator/act-schema.ts';
import type { OperatorAct, PipelineEvent, PosternRecord } from '../../protocol/index.ts';
import { AIR, BARREL_AT_AIR, rigRecord } from '../support/crew-host.ts';
import { known } from '../support/known.ts';

const HOLD_POINTS = ['tool', 'clear', 'ears', 'cameras'];
const TEXT = rigRecord().value.text.replace(
  /^holdPoints:[\s\S]*$/m,
  `holdPoints:\n${HOLD_POINTS.map((id) => `  - { id: ${id}, name: Point ${id}, by: crew }`).join('\n')}\n`,
);
const AT_NS = 1e9;
const record = (value: OperatorAct, atNs = AT_NS): PosternRecord => ({ kind: 'operator', source: 'operator', atNs, value });

function run(records: readonly PosternRecord[], from: PipelineState = INITIAL_STATE) {
  const events: PipelineEvent[] = [];
  let state = from;
  for (const each of records) {
    const [next, told] = step(state, each);
    state = next;
    events.push(...told);
  }
  return { state, events };
}

const opened = run([rigRecord(TEXT)]).state;
/** What acts may change; beside it time passes. */
const actedOn = ({ crew: { ticks, adjustments, calibrated: lines, aims, shots, struck } }: PipelineState) => ({
  ticks,
  adjustments,
  lines,
  aims,
  shots,
  struck,
});
const who = fc.constantFrom('Ane', 'Bo', 'Cai');
const size = fc.double({ min: -1e3, max: 1e3, noNaN: true });
const adjustment = fc.record({ gain: fc.double({ min: -3, max: 3, noNaN: true }), offsetSi: size });
const point = fc.record({ readSi: size, shouldReadSi: size });
const channel = fc.constantFrom('barrelPressure', 'airTemperature', 'airHumidity', 'nothing', 'constructor', '__proto__');
const at = fc.record({ rightM: size, upM: size });
const anyAct: fc.Arbitrary<OperatorAct> = fc.oneof(
  fc.record({
    act: fc.constant('hold-point' as const),
    holdPointId: fc.constantFrom(...HOLD_POINTS, 'none', '__proto__'),
    done: fc.boolean(),
    who,
  }),
  fc.record({ act: fc.constant('zero' as const), channel, shouldReadSi: size, before: adjustment, after: adjustment, who }),
  fc.record({
    act: fc.constant('calibrate' as const),
    channel,
    points: fc.tuple(point, point),
    before: adjustment,
    after: adjustment,
    who,
  }),
  fc.record({ act: fc.constant('aim' as const), at, who }),
  fc.record({ act: fc.constant('impact' as const), shotId: fc.constantFrom('cs-crew-001', '__proto__'), at, who }),
  fc.record({ act: fc.constant('acknowledge' as const), limitId: fc.constantFrom('maximum-fill', 'none'), who }),
  fc.record({
    act: fc.constant('withdraw-track' as const),
    shotId: fc.constant('none'),
    camera: fc.string(),
    withdrawn: fc.boolean(),
    reason: fc.string(),
    who,
  }),
  fc.record({ act: fc.constant('weigh' as const), shotId: fc.constant('none'), reason: fc.string(), who }),
  fc.record({ act: fc.constant('exclude' as const), shotId: fc.constant('none'), excluded: fc.boolean(), reason: fc.string(), who }),
);

describe('acts', () => {
  test('on different hold points come to the same in any order', () => {
    const ticks = fc.uniqueArray(fc.record({ holdPointId: fc.constantFrom(...HOLD_POINTS), who }), {
      selector: ({ holdPointId }) => holdPointId,
    });
    fc.assert(
      fc.property(
        ticks.chain((some) => fc.tuple(fc.constant(some), fc.shuffledSubarray(some, { minLength: some.length }))),
        ([one, other]) => {
          const crewAfter = (order: typeof one) =>
            run(
              order.map((each) => record({ act: 'hold-point', done: true, ...each })),
              opened,
            ).state.crew;
          expect(crewAfter(other)).toEqual(crewAfter(one));
          expect(Object.values(crewAfter(one).ticks).filter(({ done }) => done)).toHaveLength(one.length);
        },
      ),
    );
  });

  test('replayed say the same to the byte, and one that is refused changes nothing', () => {
    fc.assert(
      fc.property(fc.array(anyAct, { maxLength: 30 }), (acts) => {
        const records = [rigRecord(TEXT), ...acts.map((act, i) => record(act, (i + 1) * 1e9))];
        const once = run(records);
        expect(JSON.stringify(run(records).events)).toBe(JSON.stringify(once.events));
        let { state } = run([rigRecord(TEXT)]);
        for (const each of records.slice(1)) {
          const [next, told] = step(state, each);
          if (told.some(({ type }) => type === 'act-refused')) expect(actedOn(next)).toEqual(actedOn(state));
          state = next;
        }
        for (const { gain, offsetSi } of Object.values(state.crew.adjustments)) {
          expect(gain).toBeGreaterThanOrEqual(0.5);
          expect(gain).toBeLessThanOrEqual(2);
          expect(Number.isFinite(offsetSi)).toBe(true);
        }
      }),
    );
  });

  test('that were proposed pass every check on their way in, and the channel then shows what it should', () => {
    const barrel = (atNs: number): PosternRecord => ({ kind: 'reading', source: 'weather', atNs, value: { ...AIR, A0: BARREL_AT_AIR } });
    const fed = run(
      Array.from({ length: 30 }, (_, i) => barrel((i + 1) * 1e8)),
      opened,
    ).state;
    const now = 3e9;
    const shown = (state: PipelineState): number => {
      const event = run([barrel(now + 1e8)], state).events.find((each) => each.type === 'samples' && each.channel === 'barrelPressure');
      return event?.type === 'samples' ? known(event.valuesSi[0]) : Number.NaN;
    };
    const carriedOut = (proposal: ReturnType<typeof proposeZero>, state: PipelineState): PipelineState => {
      if (!proposal.ok) throw new Error(proposal.why);
      const read = readAct(JSON.parse(JSON.stringify({ ...proposal.value.act, who: 'Ane' })));
      if (!read.ok) throw new Error(read.why);
      const { state: next, events } = run([record(read.act, now)], state);
      expect(events.map(({ type }) => type)).toEqual(['adjusted']);
      expect(shown(next)).toBeCloseTo(proposal.value.wouldShowSi, 6);
      return next;
    };
    fc.assert(
      fc.property(
        fc.double({ min: 92e3, max: 105e3, noNaN: true }),
        fc.double({ min: 0.6, max: 1.8, noNaN: true }),
        size,
        (should, gain, offset) => {
          const zeroedState = carriedOut(proposeZero(fed, 'barrelPressure', should, now), fed);
          expect(shown(zeroedState)).toBeCloseTo(should, 6);
          const points = [1e3, 90e3].map((shownSi) => ({ shownSi, shouldReadSi: gain * shownSi + offset })) as never;
          const twice = carriedOut(proposeCalibration(zeroedState, 'barrelPressure', points, now), zeroedState);
          expect(shown(twice)).toBeCloseTo(gain * should + offset, 5);
        },
      ),
    );
  });
});

test('what is shown and what was read lead to each other', () => {
  const right = fc.record({ gain: fc.double({ min: 0.5, max: 2, noNaN: true }), offsetSi: size });
  fc.assert(
    fc.property(size, right, (si, by) => {
      expect(unadjusted(adjusted(si, by), by)).toBeCloseTo(si, 8);
    }),
  );
});

test('a zero or a calibration is refused for what is a fault', () => {
  const none = { gain: 1, offsetSi: 0 };
  const loaded = loadRig(TEXT, 'rig.yaml');
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  const barrel = known(loaded.rig.channels.find(({ name }) => name === 'barrelPressure'));
  const rangeSi = spanOf(barrel);
  const wide = fc.double({ min: -rangeSi, max: rangeSi, noNaN: true });
  const point = fc.record({ readSi: wide, shouldReadSi: wide });
  fc.assert(
    fc.property(point, point, wide, (a, b, lately) => {
      const before = { gain: 1, offsetSi: lately };
      expect(zeroed(barrel, a, { before, calibrated: before }).ok).toBe(Math.abs(a.shouldReadSi - (a.readSi + lately)) <= 0.1 * rangeSi);
      expect(zeroed(barrel, a, { before, calibrated: none }).ok).toBe(Math.abs(a.shouldReadSi - a.readSi) <= 0.1 * rangeSi);
      const line = calibrated(barrel, [a, b]);
      if (!line.ok) return;
      expect(Math.abs(a.readSi - b.readSi)).toBeGreaterThanOrEqual(0.05 * rangeSi);
      for (const { readSi, shouldReadSi } of [a, b]) expect(adjusted(readSi, line.after)).toBeCloseTo(shouldReadSi, 6);
    }),
  );
});

describe('a gauge that should show the air’s pressure', () => {
  const loaded = loadRig(TEXT, 'rig.yaml');
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  const { rig } = loaded;
  const barrel = known(rig.channels.find(({ name }) => name === 'barrelPressure'));
  const reservoir = known(rig.channels.find(({ name }) => name === 'reservoirPressure'));
  const ambient = { value: 98_200, standardUncertainty: 50 };

  test('is told by how much it does not, and whether that is more than its rig file allows', () => {
    const at = (offsetPa: number) => offsetAtAmbient(barrel, { shownSi: 98_200 + offsetPa, standardUncertaintySi: 10 }, ambient, 1);
    expect(at(60)).toMatchObject({ verdict: 'none' });
    // The rig file says ± 0.5 kPa.
    expect(at(300)).toMatchObject({ verdict: 'within-claim', claimedSi: 500, words: expect.stringMatching(/300 Pa .*too much, within/) });
    expect(at(-900)).toMatchObject({ verdict: 'beyond-claim', words: expect.stringMatching(/900 Pa .*too little, beyond .*zero/) });
    expect(at(0).offsetSi.standardUncertainty).toBeCloseTo(Math.hypot(10, 50), 9);
  });

  test('needs no barometer where it reads gauge', () => {
    const event = offsetAtAmbient(
      reservoir,
      { shownSi: 9000, standardUncertaintySi: 10 },
      { value: Number.NaN, standardUncertainty: Number.NaN },
      1,
    );
    expect(event).toMatchObject({ offsetSi: { value: 9000, standardUncertainty: 10 }, verdict: 'within-claim' });
  });

  test('a calibration holds to the end of its day, and tells of the channels that have a date', () => {
    const overdue = (utc: string) => calibrationOverdue(rig, utc);
    expect(overdue('2027-03-01T23:59:59.999999Z')).toEqual([]);
    expect(overdue('2027-03-02T00:00:00.000000Z')).toEqual(['reservoirPressure']);
  });
});
