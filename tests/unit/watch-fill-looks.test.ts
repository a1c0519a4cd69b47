/** When a hold after a fill is looked at anew: soon where a decay was found, later where none was. */
import { expect, test } from 'vitest';
import { type Bin, type Binning, binSamples, NO_BINS } from '../../host/pipeline/watches/bins.ts';
import { refit } from '../../host/pipeline/watches/fill-hold.ts';
import type { FillSetup, WatchSamples } from '../../host/pipeline/watches/setup.ts';

/** What a look at a hold asks of it. */
const SETUP = { leakExpectedPaPerS: 50, bandPa: 20e3 } as FillSetup;
const PERIOD_NS = 1e6;
const WIDTH_NS = 1e8;
const [FROM_NS, LONG_S] = [10e9, 40];

/** @param pressurePa  over the time of the hold, s; read with 20 Pa of ripple, as noise */
function held(pressurePa: (tS: number) => number): { readonly bins: readonly Bin[]; readonly binning: Binning } {
  const ripplePa = (i: number): number => (i % 2 === 0 ? 20 : -20);
  const valuesSi = Array.from({ length: LONG_S * 1000 }, (_, i) => pressurePa(i / 1000) + ripplePa(i));
  const samples: WatchSamples = { channel: 'reservoirPressure', atNs: FROM_NS, fromNs: FROM_NS, periodNs: PERIOD_NS, valuesSi };
  const [binning, bins] = binSamples(NO_BINS, samples, WIDTH_NS);
  return { bins: bins.filter((_, i) => i % 5 === 0).slice(0, 80), binning };
}

function waitsS(pressurePa: (tS: number) => number): { readonly isFound: boolean; readonly nextS: number } {
  const { bins, binning } = held(pressurePa);
  const atNs = FROM_NS + LONG_S * 1e9;
  const { fit, lookAtNs } = refit({ fromNs: FROM_NS, bins, fit: undefined, lookAtNs: FROM_NS }, binning, SETUP, atNs);
  return { isFound: fit !== undefined, nextS: (lookAtNs - atNs) / 1e9 };
}

test('a hold that settles is looked at again when it is a twentieth longer, one without a decay when it is a quarter longer', () => {
  const settles = waitsS((tS) => 1.2e6 + 3e4 * Math.exp(-tS / 8));
  expect(settles.isFound).toBe(true);
  expect(settles.nextS).toBeCloseTo(LONG_S / 20, 6);
  const swings = waitsS((tS) => 1.2e6 + 3e4 * Math.sin((2 * Math.PI * tS) / 251));
  expect(swings.isFound).toBe(false);
  expect(swings.nextS).toBeCloseTo(LONG_S / 4, 6);
});
