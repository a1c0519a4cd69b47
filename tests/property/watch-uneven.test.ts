/** Instruments that take their samples unevenly, beside a vessel at rest, filling and at rest again. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { NOT_NOISY, takeNoisy } from '../../host/pipeline/watches/noisy.ts';
import { streamOf } from '../support/watch-courses.ts';

const REST_S = 30;
const RAMP_S = 60;

const instrument = fc.record({
  periodS: fc.constantFrom(0.02, 0.05, 0.2),
  /** Largest, of a period, either way. */
  unevenness: fc.double({ min: 0, max: 0.4, noNaN: true }),
  /** Pa and Pa/s. */
  step: fc.constantFrom(0, 36, 100),
  noise: fc.double({ min: 0, max: 300, noNaN: true }),
  slope: fc.double({ min: -50e3, max: 50e3, noNaN: true }),
  seed: fc.integer({ min: 0, max: 1e6 }),
});

type Instrument = typeof instrument extends fc.Arbitrary<infer T> ? T : never;

/** Is it ever called noisy? @param scatter  what is added from `fromS` on */
function isNoisy({ periodS, unevenness, step, noise, slope, seed }: Instrument, scatter: number, fromS: number): boolean {
  const random = streamOf('uneven', seed);
  let state = NOT_NOISY;
  for (let i = 0; i < (2 * REST_S + RAMP_S) / periodS; i++) {
    const atS = (i + unevenness * random.between(-1, 1)) * periodS;
    const level = 1e5 + slope * Math.min(RAMP_S, Math.max(0, atS - REST_S));
    const value = level + (noise + (atS > fromS ? scatter : 0)) * random.normal();
    state = takeNoisy(state, [step === 0 ? value : step * Math.round(value / step)], periodS);
    if (state.isNoisy) return true;
  }
  return false;
}

test('are not called noisy for the filling, however fast it goes', () => {
  fc.assert(
    fc.property(instrument, (each) => {
      expect(isNoisy(each, 0, 0)).toBe(false);
    }),
  );
});

test('are called noisy while they fill where they scatter by ten times more, beyond what the unevenness does', () => {
  fc.assert(
    fc.property(instrument, (each) => {
      const scatter = 10 * Math.max(each.noise, each.step, 1) + 4 * Math.abs(each.slope) * each.periodS;
      expect(isNoisy(each, scatter, REST_S + 10)).toBe(true);
    }),
  );
});
