import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { calibrated, type KnownPoint, UNADJUSTED, unadjustedSi, zeroed } from '../../dashboards/src/state/adjusting.ts';
import { calibrationText } from '../../dashboards/src/text/calibration-text.ts';
import { ARRIVAL_EXPANDED_S, clockOffsetText, clockRateText } from '../../dashboards/src/text/clock-text.ts';
import { numberOf, siOf } from '../../dashboards/src/text/entered.ts';
import { holdOrder } from '../../dashboards/src/text/hold-order.ts';
import { verdictOf } from '../../dashboards/src/text/hold-verdict.ts';
import { standingLimits } from '../../dashboards/src/text/limit-words.ts';
import { offsetWords } from '../../dashboards/src/text/offset-words.ts';
import { rateText } from '../../dashboards/src/text/rate-text.ts';
import { spanText } from '../../dashboards/src/text/span-text.ts';
import { pointText, TARGET_UNIT } from '../../dashboards/src/text/target-length.ts';
import { INITIAL_STATE } from '../../host/pipeline/index.ts';
import { clockOf } from '../../host/pipeline/time.ts';
import { DISPLAY } from '../../host/units/index.ts';
import type { Adjustment, HoldPointState, OffsetEvent } from '../../protocol/index.ts';
import { FakeCrew } from '../support/fake-crew.ts';
import { limitEvent, measured } from '../support/fake-watches.ts';
import { HERON_RIG } from '../support/heron.ts';

const shownWith = (si: number, { gain, offsetSi }: Adjustment) => si * gain + offsetSi;
const pascals = fc.double({ min: -1e5, max: 6e6, noNaN: true });
const before = fc.record({
  gain: fc.double({ min: 0.8, max: 1.25, noNaN: true }),
  offsetSi: fc.double({ min: -2e4, max: 2e4, noNaN: true }),
});

describe('setting a channel right', () => {
  it('makes it show, at one known state, what it should', () => {
    fc.assert(
      fc.property(before, pascals, pascals, (adjustment, readSi, shouldReadSi) => {
        const made = zeroed(adjustment, { shownSi: shownWith(readSi, adjustment), shouldReadSi });
        if (!made.ok) throw new Error(made.problem);
        expect(shownWith(readSi, made.after)).toBeCloseTo(shouldReadSi, 3);
        expect(made.after.gain).toBe(adjustment.gain);
      }),
    );
  });

  it('makes it show both known states, whatever was set before, or says why it cannot', () => {
    fc.assert(
      fc.property(before, pascals, pascals, before, (adjustment, first, second, truth) => {
        const point = (readSi: number): KnownPoint => ({
          shownSi: shownWith(readSi, adjustment),
          shouldReadSi: shownWith(readSi, truth),
        });
        const made = calibrated(adjustment, [point(first), point(second)]);
        fc.pre(Math.abs(first - second) > 1e4);
        if (!made.ok) throw new Error(made.problem);
        for (const readSi of [first, second]) expect(shownWith(readSi, made.after)).toBeCloseTo(shownWith(readSi, truth), 2);
        expect(unadjustedSi(shownWith(first, adjustment), adjustment)).toBeCloseTo(first, 3);
      }),
    );
  });

  it('refuses two readings that are one, and a gain that is a wrong unit', () => {
    const at = (shownSi: number, shouldReadSi: number): KnownPoint => ({ shownSi, shouldReadSi });
    expect(calibrated(UNADJUSTED, [at(1e5, 1e5), at(1e5, 2e5)])).toMatchObject({ ok: false });
    expect(calibrated(UNADJUSTED, [at(1e5, 1e5), at(2e5, 2e8)])).toMatchObject({ ok: false });
    expect(calibrated(UNADJUSTED, [at(0, 0), at(0, 0)])).toMatchObject({ ok: false });
  });
});

describe('what a person types', () => {
  it('comes back from every unit that is shown', () => {
    for (const kind of ['pressure', 'vacuum', 'temperature', 'humidity', 'velocity'] as const) {
      for (const system of ['SI', 'US'] as const) {
        const display = DISPLAY[kind][system];
        for (const si of [0.5, 300, 98_340]) expect(siOf(display, display.fromSi(si)) / si).toBeCloseTo(1, 9);
      }
    }
    expect(TARGET_UNIT.US.toM(1)).toBeCloseTo(0.0254, 12);
  });

  it.each([
    ['12', 12],
    [' −5,5 ', -5.5],
    ['+.5', 0.5],
    ['', undefined],
    ['1e3', undefined],
    ['0x10', undefined],
    ['12 mm', undefined],
    ['Infinity', undefined],
  ])('reads %j as %s', (text, value) => {
    expect(numberOf(text)).toBe(value);
  });
});

describe('the verdict on the hold points', () => {
  const ready = () => {
    const crew = new FakeCrew();
    for (const id of ['bore', 'clear', 'settled']) crew.condition(id, true, 1);
    return crew.holdPoints(1);
  };

  it('is READY only when the host says so, now, of a list with nothing missing', () => {
    const told = ready();
    expect(verdictOf({ told, namedCount: 3, isHeard: true })?.isReady).toBe(true);
    expect(verdictOf({ told, namedCount: 3, isHeard: false })?.isReady).toBe(false);
    expect(verdictOf({ told: { ...told, ready: false }, namedCount: 3, isHeard: true })?.isReady).toBe(false);
    const points = told.points.map((point, index) => (index === 1 ? { ...point, done: false } : point));
    expect(verdictOf({ told: { ...told, points }, namedCount: 3, isHeard: true })).toEqual({
      isReady: false,
      words: 'Missing: Range clear.',
    });
    expect(verdictOf({ told: undefined, namedCount: 3, isHeard: true })?.isReady).toBe(false);
    expect(verdictOf({ told: undefined, namedCount: 0, isHeard: true })).toBeUndefined();
  });
});

describe('the order of the hold points', () => {
  const point = (id: string, done: boolean, sinceNs: number, by: HoldPointState['by'] = 'crew'): HoldPointState => ({
    id,
    name: id.toUpperCase(),
    by,
    done,
    sinceNs,
    who: '',
    detail: '',
  });

  it('has one next, the first that is not done, and says what was ticked ahead of others', () => {
    const { nextId, aheadOf } = holdOrder([
      point('a', true, 5),
      point('b', true, 3),
      point('c', false, 0, 'condition'),
      point('d', true, 6),
    ]);
    expect(nextId).toBe('c');
    expect([...aheadOf]).toEqual([
      ['b', ['A']],
      ['d', ['C']],
    ]);
    // An instrument's condition that lapsed and came back says nothing of when the crew ticked, nor is it out of turn itself.
    expect(holdOrder([point('a', true, 9, 'condition'), point('b', true, 3)]).aheadOf.size).toBe(0);
    expect(holdOrder([point('a', false, 0), point('b', true, 3, 'condition')])).toEqual({ nextId: 'a', aheadOf: new Map() });
    expect(holdOrder([point('a', true, 1), point('b', true, 2)])).toEqual({ nextId: undefined, aheadOf: new Map() });
  });
});

describe('a board’s clock', () => {
  it('is told with as many places as its uncertainty has', () => {
    expect(clockOffsetText(-3.2497851, 44e-6)).toBe('−3.249785 ± 0.000044 s');
    expect(clockOffsetText(67_552.42234, 3.4e-3)).toBe('+67552.4223 ± 0.0034 s');
    expect(clockOffsetText(12, 30)).toBe('+12 ± 30 s');
    expect(clockRateText(-36.19, 5.95)).toBe('−36.19 ± 5.95 ppm');
  });

  it('has, where there is none, the uncertainty that the pipeline states for an arrival', () => {
    const arrival = clockOf(INITIAL_STATE, HERON_RIG, 'weather-board');
    expect((2 * (arrival?.offsetStandardUncertaintyNs ?? Number.NaN)) / 1e9).toBe(ARRIVAL_EXPANDED_S);
  });
});

describe('what is said', () => {
  it('puts unseen alarms first and leaves out what is within its limit', () => {
    const limits = {
      a: limitEvent(1, 'active', { id: 'a', severity: 'warning' }),
      b: limitEvent(2, 'active-acknowledged', { id: 'b' }),
      c: limitEvent(3, 'latched', { id: 'c' }),
      d: limitEvent(4, 'clear', { id: 'd' }),
    };
    expect(standingLimits(limits).map(({ id }) => id)).toEqual(['c', 'b', 'a']);
  });

  it('calls a calibration overdue from the day after', () => {
    const channel = {
      name: 'x',
      measures: 'pressure',
      unit: 'Pa',
      board: 'b',
      reference: 'gauge',
      expandedUncertaintySi: 1e3,
      calibratedOn: '2025-03-14',
    } as const;
    const due = { ...channel, calibrationDue: '2026-03-14' };
    expect(calibrationText(due, new Date('2026-03-14T23:59:00Z')).isOverdue).toBe(false);
    expect(calibrationText(due, new Date('2026-03-15T00:00:00Z'))).toMatchObject({ isOverdue: true });
    expect(calibrationText(due, new Date(Number.NaN)).isOverdue).toBe(false);
    expect(calibrationText(channel, new Date('2099-01-01')).isOverdue).toBe(false);
  });

  it('says of a channel at ambient how far it is off, and what to do only where that is more than its claim', () => {
    const remedy = 'zero it before the pump starts';
    const said = (value: number, verdict: OffsetEvent['verdict'], system: 'SI' | 'US' = 'SI') =>
      offsetWords({ offset: { offsetSi: measured(value, 1_500), claimedSi: 5_000, verdict }, remedy, system });
    expect(said(12_000, 'beyond-claim')).toEqual({ text: `12.0 ± 3.0 kPa too high at ambient: ${remedy}`, isBeyondClaim: true });
    expect(said(-12_000, 'beyond-claim').text).toBe(`12.0 ± 3.0 kPa too low at ambient: ${remedy}`);
    expect(said(-4_000, 'within-claim')).toEqual({ text: '4.0 ± 3.0 kPa too low at ambient, within its ± 5.00 kPa', isBeyondClaim: false });
    expect(said(12_000, 'beyond-claim', 'US').text).toContain('3.54 ± 0.89 inHg too high');
    expect(said(200, 'none')).toEqual({ text: 'none that can be seen', isBeyondClaim: false });
  });

  it('gives rates and places with their side', () => {
    expect(rateText(-11, 48, { panel: 'fill', system: 'SI' })).toBe('−11 ± 48 Pa/s');
    expect(rateText(16_700, 400, { panel: 'fill', system: 'SI' })).toBe('+16.70 ± 0.40 kPa/s');
    expect(rateText(0.001, undefined, { panel: 'fill', system: 'SI' })).toBe('0.00 Pa/s');
    // One scheme a panel: no second beside a minute.
    for (const paPerS of [16_700, -11]) expect(rateText(paPerS, 48, { panel: 'fill', system: 'US' })).toMatch(/ psi\/min$/);
    expect(rateText(-2_400, 40, { panel: 'vacuum', system: 'US' })).toBe('−42.52 ± 0.71 inHg/min');
    expect(pointText({ rightM: 0.012, upM: -0.005 }, 'SI')).toBe('12 mm right, 5 mm low');
    expect(pointText({ rightM: 0, upM: 0.0254 }, 'US')).toBe('0 in, 1.00 in high');
  });

  it.each([
    [0, '0.0 s'],
    [9.94, '9.9 s'],
    [99.4, '99 s'],
    [190, '3 min 10 s'],
    [5_999.6, '100 min 00 s'],
    [7_260, '2 h 01 min'],
    [Number.POSITIVE_INFINITY, '–'],
  ])('gives %d s as %s', (s, text) => {
    expect(spanText(s)).toBe(text);
  });
});
