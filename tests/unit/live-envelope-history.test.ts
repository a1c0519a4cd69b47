import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BIN_NS, BINS_KEPT, CHANGED_BINS_MAX, EnvelopeHistory } from '../../host/serve/envelope-history.ts';
import type { Envelope } from '../../protocol/index.ts';

/** Plain and slow: every sample by its bin. */
function modelOf(samples: readonly { bin: number; value: number }[]): Map<number, readonly number[]> {
  const bins = new Map<number, readonly number[]>();
  for (const { bin, value } of samples) bins.set(bin, [...(bins.get(bin) ?? []), value]);
  return bins;
}

/** As fine as a page is told. */
const sevenDigits = (value: number): number => Number(value.toExponential(6));
const firstBin = (envelope: Envelope) => envelope.fromNs / BIN_NS;
const withoutNegativeZero = (value: number) => value + 0;
const samplesArbitrary = fc.array(
  fc.record({
    bin: fc.integer({ min: 0, max: 3000 }),
    value: fc.double({ noNaN: true, noDefaultInfinity: true }).map(withoutNegativeZero),
  }),
  { minLength: 1, maxLength: 200 },
);

function filled(samples: readonly { bin: number; value: number }[]): EnvelopeHistory {
  const history = new EnvelopeHistory('reservoirPressure');
  for (const { bin, value } of samples) history.add({ fromNs: bin * BIN_NS + 7, periodNs: 1, valuesSi: [value] });
  return history;
}

function expectLikeModel(envelope: Envelope, model: Map<number, readonly number[]>): void {
  const run = envelope.binNs / BIN_NS;
  const runs = envelope.min.map((_, index) =>
    Array.from({ length: run }, (_unused, one) => model.get(firstBin(envelope) + index * run + one) ?? []).flat(),
  );
  expect(envelope.min).toEqual(runs.map((values) => (values.length > 0 ? sevenDigits(Math.min(...values)) : null)));
  expect(envelope.max).toEqual(runs.map((values) => (values.length > 0 ? sevenDigits(Math.max(...values)) : null)));
}

describe('the envelope history of a channel', () => {
  it('holds the minimum and maximum of every bin, as a plain model does', () => {
    fc.assert(
      fc.property(samplesArbitrary, (samples) => {
        const model = modelOf(samples);
        const fine = filled(samples).history().at(-1);
        if (!fine) throw new Error('there was a sample');
        expect(fine.binNs).toBe(BIN_NS);
        expect(firstBin(fine) + fine.min.length - 1).toBe(Math.max(...model.keys()));
        expectLikeModel(fine, model);
      }),
    );
  });

  it('gives a present number between the minimum and the maximum of the newest bin', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -1e9, max: 1e9, noNaN: true }), { minLength: 1, maxLength: 50 }), (valuesSi) => {
        const history = new EnvelopeHistory('barrelPressure');
        history.add({ fromNs: 0, periodNs: 1e6, valuesSi });
        const last = history.lastSi ?? Number.NaN;
        const slack = 1e-9 * Math.max(...valuesSi.map(Math.abs));
        expect(last).toBeGreaterThanOrEqual(Math.min(...valuesSi) - slack);
        expect(last).toBeLessThanOrEqual(Math.max(...valuesSi) + slack);
      }),
    );
  });

  it('covers in runs of ten what the fine part does not, and no sample is outside its run', () => {
    fc.assert(
      fc.property(samplesArbitrary, (samples) => {
        const model = modelOf(samples);
        for (const envelope of filled(samples).history()) expectLikeModel(envelope, model);
        const kept = filled(samples).history();
        if (kept.length === 2) expect((kept[0]?.fromNs ?? 0) + (kept[0]?.min.length ?? 0) * 10 * BIN_NS).toBe(kept[1]?.fromNs);
      }),
    );
  });

  it('hands out each changed bin, in pieces of a bounded size', () => {
    const history = new EnvelopeHistory('reservoirPressure');
    history.add({ fromNs: 0, periodNs: BIN_NS, valuesSi: Array.from({ length: 3000 }, (_, bin) => bin) });
    const seen: number[] = [];
    for (let piece = history.takeChanged(); piece; piece = history.takeChanged()) {
      expect(piece.min.length).toBeLessThanOrEqual(CHANGED_BINS_MAX);
      seen.push(...piece.min.map((min) => min ?? -1));
    }
    expect(seen).toEqual(Array.from({ length: 3000 }, (_, bin) => bin));
    history.add({ fromNs: 2999 * BIN_NS, periodNs: 1, valuesSi: [5] });
    expect(history.takeChanged()).toMatchObject({ fromNs: 2999 * BIN_NS, min: [5], max: [2999] });
    expect(history.takeChanged()).toBeUndefined();
  });

  it('forgets what is older than it keeps, and takes late samples only within that', () => {
    const history = new EnvelopeHistory('reservoirPressure');
    history.add({ fromNs: 0, periodNs: 1, valuesSi: [1] });
    history.add({ fromNs: BINS_KEPT * 3 * BIN_NS, periodNs: 1, valuesSi: [2] });
    history.add({ fromNs: 0, periodNs: 1, valuesSi: [99] });
    const values = history.history().flatMap((envelope) => envelope.max.filter((max) => max !== null));
    expect(values).toEqual([2]);
    expect(history.history().reduce((sum, { min, binNs }) => sum + (min.length * binNs) / BIN_NS, 0)).toBeLessThanOrEqual(BINS_KEPT);
  });

  it('leaves out what is no number', () => {
    const history = new EnvelopeHistory('airHumidity');
    history.add({ fromNs: 0, periodNs: 1, valuesSi: [Number.NaN, Number.POSITIVE_INFINITY] });
    expect(history.lastSi).toBeNull();
    expect(history.history()).toEqual([]);
  });
});
