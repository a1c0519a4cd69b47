import fc from 'fast-check';
import { expect, test } from 'vitest';
import { acknowledge, type LimitSetup, NEW_WATCHES, takeSamples, type WatchSetup } from '../../host/pipeline/watches/index.ts';
import { limitWords } from '../../host/pipeline/watches/limit-words.ts';
import type { LimitEvent, LimitState, WatchEvent } from '../../protocol/index.ts';
import { blocksOf, RESERVOIR, runWatches, sense, streamOf } from '../support/watch-courses.ts';

const ABOVE: LimitSetup = {
  id: 'rating',
  channel: 'reservoirPressure',
  kind: 'above',
  limitSi: 4e6,
  unit: 'Pa',
  holdS: 0,
  clearSi: 20e3,
  severity: 'alarm',
  message: 'The reservoir is above its rating.',
};
const withLimits = (...limits: readonly LimitSetup[]): WatchSetup => ({ channels: [RESERVOIR], limits });
const isLimit = (event: WatchEvent): event is LimitEvent => event.type === 'limit';
const channel = 'reservoirPressure';

test('the alarm is of the very sample that went beyond, in the step that brought it', () => {
  fc.assert(
    fc.property(
      fc.constantFrom<'above' | 'below'>('above', 'below'),
      fc.integer({ min: 1, max: 200 }),
      fc.integer({ min: 0, max: 1999 }),
      fc.integer(),
      (kind, perBlock, beyondAt, seed) => {
        const random = streamOf('very-sample', Math.abs(seed));
        const sign = kind === 'above' ? 1 : -1;
        const valueAt = (s: number) =>
          4e6 + sign * (Math.round(s * 1000) === beyondAt ? 1 : -30e3) + sign * -Math.abs(random.normal()) * 0.1;
        const setup = withLimits({ ...ABOVE, kind });
        let state = NEW_WATCHES;
        for (const block of blocksOf({ channel, lengthS: 2, rateHz: 1000, perBlock, valueAt })) {
          const [next, events] = takeSamples(state, setup, block);
          state = next;
          const mine = events.filter(isLimit).filter((event) => event.state === 'active');
          const holds = beyondAt * 1e6 >= block.fromNs && beyondAt * 1e6 < block.fromNs + block.valuesSi.length * 1e6;
          expect(mine).toHaveLength(holds ? 1 : 0);
          if (!holds) continue;
          expect(mine[0]).toMatchObject({ audible: true, atNs: block.atNs, sampleAtNs: beyondAt * 1e6, was: 'clear', severity: 'alarm' });
        }
      },
    ),
  );
});

test('noise about the limit sounds once, however long it goes on and however small the hysteresis, until it was acknowledged and gone', () => {
  for (const clearSi of [0, 500, 20e3]) {
    const random = streamOf('flap', clearSi);
    const setup = withLimits({ ...ABOVE, clearSi });
    const noisy = blocksOf({ channel, lengthS: 60, rateHz: 1000, valueAt: (s) => sense({ random, noiseSi: 600 }, 4e6, s) });
    const first = runWatches(noisy, setup);
    const told = first.events.filter(isLimit);
    expect(told.filter((event) => event.audible)).toHaveLength(1);
    expect(told.length).toBeLessThanOrEqual(5 * 60);
    // With a hysteresis beyond the noise it does not even change its state.
    if (clearSi > 6 * 600) expect(told.map((event) => event.state)).toEqual(['active']);
    const [seen, acknowledged] = acknowledge(first.state, setup, { limitId: 'rating', who: 'A. Crew', atNs: 60e9 });
    expect(acknowledged).toMatchObject([{ acknowledgedBy: 'A. Crew', audible: false }]);
    const gone = runWatches(
      blocksOf({ channel, lengthS: 2, rateHz: 1000, fromS: 60, valueAt: (s) => sense({ random, noiseSi: 600 }, 3.9e6, s) }),
      setup,
      seen,
    );
    expect(gone.state.limits.rating?.state).toBe('clear');
    const again = runWatches(
      blocksOf({ channel, lengthS: 2, rateHz: 1000, fromS: 62, valueAt: (s) => sense({ random, noiseSi: 600 }, 4.1e6, s) }),
      setup,
      gone.state,
    );
    expect(again.events.filter(isLimit)).toMatchObject([{ state: 'active', audible: true }]);
  }
});

test('the states follow their diagram for any course of pressures and acknowledgements', () => {
  const acts = fc.array(fc.constantFrom<'beyond' | 'inside' | 'between' | 'acknowledge'>('beyond', 'inside', 'between', 'acknowledge'), {
    maxLength: 60,
  });
  fc.assert(
    fc.property(acts, (course) => {
      const setup = withLimits(ABOVE);
      let state = NEW_WATCHES;
      let model: LimitState = 'clear';
      let raisedAtNs = 0;
      course.forEach((act, k) => {
        if (act === 'acknowledge') {
          const [next, events] = acknowledge(state, setup, { limitId: 'rating', who: 'A. Crew', atNs: (k + 1) * 1e9 });
          state = next;
          const expected: LimitState = model === 'active' ? 'active-acknowledged' : model === 'latched' ? 'clear' : model;
          expect(events.map((event) => event.type === 'limit' && event.raisedAtNs)).toEqual(expected === model ? [] : [raisedAtNs]);
          model = expected;
        } else {
          // A second of it: long enough to be gone.
          const base = act === 'beyond' ? 4.01e6 : act === 'inside' ? 3.97e6 : 3.99e6;
          const valueAt = (s: number) => base + (Math.round(s * 100) % 2) * 100;
          const run = runWatches(blocksOf({ channel, lengthS: 1, rateHz: 100, perBlock: 100, fromS: k, valueAt }), setup, state);
          state = run.state;
          const before = model;
          if (act === 'beyond' && (model === 'clear' || model === 'latched')) model = 'active';
          if (act === 'inside' && model === 'active') model = 'latched';
          if (act === 'inside' && before === 'active-acknowledged') model = 'clear';
          const told = run.events.filter(isLimit);
          expect(told.map((event) => event.state)).toEqual(before === model ? [] : [model]);
          if (before === 'clear' && model === 'active') raisedAtNs = told[0]?.atNs ?? Number.NaN;
          for (const event of told) expect(event.raisedAtNs).toBe(raisedAtNs);
          expect(told.some((event) => event.audible)).toBe(before === 'clear' && model === 'active');
        }
        expect(state.limits.rating?.state ?? 'clear').toBe(model);
      });
    }),
  );
});

test('a limit with a hold waits for it, and a shorter excursion says nothing', () => {
  const setup = withLimits({ ...ABOVE, holdS: 0.5 });
  const excursion = (lengthS: number) =>
    runWatches(
      blocksOf({
        channel,
        lengthS: 3,
        rateHz: 200,
        perBlock: 10,
        valueAt: (s) => (s >= 1 && s < 1 + lengthS ? 4.01e6 : 3.9e6) + ((s * 200) % 2),
      }),
      setup,
    ).events.filter(isLimit);
  expect(excursion(0.4)).toEqual([]);
  expect(excursion(1)[0]?.sampleAtNs).toBe(1.5e9);
});

test('a rate limit is told within a second and a fifth of the rate, both ways, and noise alone never makes one', () => {
  for (const kind of ['risingFasterThan', 'fallingFasterThan'] as const) {
    const random = streamOf(kind, 1);
    const setup = withLimits({ ...ABOVE, kind, limitSi: 50e3, clearSi: 10e3 });
    const sign = kind === 'risingFasterThan' ? 1 : -1;
    const valueAt = (s: number) => sense({ random, noiseSi: 600 }, 2e6 + sign * 100e3 * Math.min(4, Math.max(0, s - 30)), s);
    const told = runWatches(blocksOf({ channel, lengthS: 40, rateHz: 1000, valueAt }), setup).events.filter(isLimit);
    expect(told.map((event) => event.state)).toEqual(['active', 'latched']);
    expect((told[0]?.sampleAtNs ?? 0) / 1e9).toBeGreaterThan(30);
    expect((told[0]?.sampleAtNs ?? 0) / 1e9).toBeLessThan(31);
    expect((told[1]?.sampleAtNs ?? 0) / 1e9).toBeLessThan(36);
  }
});

test('a channel that is not healthy may raise a limit and never clears one', () => {
  const setup = withLimits(ABOVE);
  const random = streamOf('unhealthy', 1);
  const beyond = runWatches(
    blocksOf({ channel, lengthS: 2, rateHz: 1000, valueAt: (s) => sense({ random, noiseSi: 200 }, 4.1e6, s) }),
    setup,
  );
  // The wire falls off: the reading is at its lower rail, far inside the limit.
  const off = runWatches(blocksOf({ channel, lengthS: 5, rateHz: 1000, fromS: 2, valueAt: () => -700e3 }), setup, beyond.state);
  expect(off.state.health.reservoirPressure?.health).toBe('railed');
  expect(off.state.limits.rating?.state).toBe('active');
  const shorted = runWatches(blocksOf({ channel, lengthS: 1, rateHz: 1000, valueAt: () => 6.95e6 }), setup);
  expect(shorted.events.filter(isLimit)).toMatchObject([{ state: 'active', channelHealthy: false }]);
});

test('the words say what, by which value, of which limit, gauge or absolute, and what became of it, each a sentence', () => {
  const said = (setup: Partial<LimitSetup>, facts: Partial<LimitEvent>) =>
    limitWords({ ...ABOVE, ...setup }, { state: 'active', was: 'clear', channelHealthy: true, ...facts });
  expect(said({ gaugeZeroPa: 98e3, limitSi: 4.098e6 }, { valueSi: 4.1e6 })).toBe(
    'The reservoir is above its rating: 4.002 MPa gauge, limit 4.000 MPa gauge.',
  );
  expect(said({ message: 'Too warm', unit: 'K', limitSi: 358.15 }, { valueSi: 358.3 })).toBe('Too warm: 85.2 °C, limit 85.0 °C.');
  expect(said({ message: 'It leaks in', kind: 'risingFasterThan', limitSi: 1000 / 60 }, { valueSi: 20 })).toBe(
    'It leaks in: 1.2 kPa/min, limit 1 kPa/min.',
  );
  expect(said({ message: 'Barrel', limitSi: 200 }, { valueSi: 150, was: 'latched', channelHealthy: false })).toBe(
    'Barrel: 150 Pa absolute, limit 200 Pa absolute. It is back, and nobody has acknowledged it. Its transducer is not healthy.',
  );
  expect(said({}, { state: 'latched', was: 'active' })).toBe(
    'The reservoir is above its rating: it is over, and waits to be acknowledged.',
  );
  expect(said({}, { state: 'clear', was: 'latched', acknowledgedBy: 'Ane' })).toBe(
    'The reservoir is above its rating. Acknowledged by Ane; it is over.',
  );
});
