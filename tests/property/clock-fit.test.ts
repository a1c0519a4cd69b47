import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type ClockHistory, fitClock, hostNs, hostNsStandardUncertainty, keepExchange, NO_EXCHANGES } from '../../host/metrology/index.ts';

const CLAIM = { tickRateHz: 16e6, tickRateStandardUncertaintyHz: (16e6 * 50e-6) / Math.sqrt(3) };

/** mulberry32: chance from a seed that fast-check prints. */
function chanceFrom(seed: number): () => number {
  let a = seed;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

interface TrueBoard {
  readonly rateError: number;
  readonly startTicks: number;
  readonly latencyS: number;
  readonly jitterS: number;
}

const ticksAt = (board: TrueBoard, s: number): number => board.startTicks + s * CLAIM.tickRateHz * (1 + board.rateError);

function exchanges(board: TrueBoard, seconds: number, seed: number): ClockHistory {
  const chance = chanceFrom(seed);
  const delay = () => board.latencyS - board.jitterS * Math.log(1 - chance());
  let history = NO_EXCHANGES;
  for (let s = 0.01; s < seconds; s += 0.25) {
    const received = s + delay();
    const replied = received + 20e-6;
    const arrived = replied + delay();
    history = keepExchange(
      history,
      {
        sentNs: Math.round(s * 1e9),
        receivedTicks: Math.floor(ticksAt(board, received)),
        repliedTicks: Math.floor(ticksAt(board, replied)),
        arrivedNs: Math.round(arrived * 1e9),
      },
      CLAIM,
    );
  }
  return history;
}

test('rate and mapped time lie within their uncertainties, for any board within its claim and any jittery line', () => {
  fc.assert(
    fc.property(
      fc.record({
        rateError: fc.double({ min: -50e-6, max: 50e-6, noNaN: true }),
        startTicks: fc.integer({ min: 0, max: 2 ** 47 }),
        latencyS: fc.double({ min: 1e-4, max: 4e-3, noNaN: true }),
        jitterS: fc.double({ min: 1e-5, max: 2e-3, noNaN: true }),
      }),
      fc.integer({ min: 2, max: 200 }),
      fc.integer(),
      (board, seconds, seed) => {
        const history = exchanges(board, seconds, seed);
        const fit = fitClock(history, CLAIM);
        if (!fit) throw new Error('no fit');
        expect(history.kept.length).toBeLessThanOrEqual(120);
        expect(Math.abs(fit.rateError - board.rateError)).toBeLessThan(5 * fit.rateStandardUncertainty + 1e-9);
        const ticks = ticksAt(board, seconds);
        const error = hostNs(fit, ticks) - seconds * 1e9;
        // What an asymmetric line can hide is bounded by half the round trip, not by a normal distribution.
        expect(Math.abs(error)).toBeLessThan(5 * hostNsStandardUncertainty(fit, ticks) + fit.roundTripNs / 2);
      },
    ),
  );
});

test('a minute of exchanges says more of the rate than the claim does, a second does not', () => {
  const board = { rateError: 37e-6, startTicks: 0, latencyS: 1e-3, jitterS: 3e-4 };
  const claimed = CLAIM.tickRateStandardUncertaintyHz / CLAIM.tickRateHz;
  const short = fitClock(exchanges(board, 1, 1), CLAIM);
  const long = fitClock(exchanges(board, 60, 1), CLAIM);
  expect(short?.rateStandardUncertainty).toBeLessThanOrEqual(claimed);
  expect(long?.rateStandardUncertainty).toBeLessThan(claimed / 10);
  expect(Math.abs((long?.rateError ?? 0) - board.rateError)).toBeLessThan(5e-6);
});

// Chance is seeded, so this repeats. 200 normal scores have a root mean square of 0.9 to 1.1 at two sigma; less is caution.
test.each([
  { line: 'exponential jitter', extra: (chance: () => number) => -0.5e-3 * Math.log(1 - chance()) },
  { line: 'USB frames of 16 ms', extra: (chance: () => number) => 16e-3 * chance() },
  { line: 'a stall now and then', extra: (chance: () => number) => (chance() < 0.05 ? 0.1 * chance() : 0.3e-3 * chance()) },
])('on a line with $line the claimed rate uncertainty is never too small on the whole, after 3 s and after 60 s', ({ extra }) => {
  for (const seconds of [3, 60]) {
    const scores = Array.from({ length: 200 }, (_, k) => {
      const chance = chanceFrom(1000 + k);
      const rateError = (chance() * 100 - 50) * 1e-6;
      const ticks = (s: number) => s * CLAIM.tickRateHz * (1 + rateError);
      let history = NO_EXCHANGES;
      for (let s = 0; s < seconds; s += 0.25) {
        const received = s + 1e-3 + extra(chance);
        const arrived = received + 20e-6 + 1e-3 + extra(chance);
        const exchange = {
          sentNs: s * 1e9,
          receivedTicks: ticks(received),
          repliedTicks: ticks(received + 20e-6),
          arrivedNs: arrived * 1e9,
        };
        history = keepExchange(history, exchange, CLAIM);
      }
      const fit = fitClock(history, CLAIM);
      return fit ? (fit.rateError - rateError) / fit.rateStandardUncertainty : Number.NaN;
    });
    const rms = Math.sqrt(scores.reduce((sum, z) => sum + z * z, 0) / scores.length);
    expect(rms, `${seconds} s`).toBeLessThan(1.15);
    expect(rms, `${seconds} s`).toBeGreaterThan(0.1);
  }
});

test('before the first exchange there is no fit', () => {
  expect(fitClock(NO_EXCHANGES, CLAIM)).toBeUndefined();
});

// RFC 5905, section 8: T1 1000.000, T2 1000.105, T3 1000.106, T4 1000.031 gives offset 0.090 s and delay 0.030 s
// (1 ms resolution clocks; here a board that ticks once a millisecond).
test('one exchange maps the middle of the board onto the middle of the host', () => {
  const claim = { tickRateHz: 1000, tickRateStandardUncertaintyHz: 1 };
  const history = keepExchange(
    NO_EXCHANGES,
    { sentNs: 1_000_000e6, receivedTicks: 1_000_105, repliedTicks: 1_000_106, arrivedNs: 1_000_031e6 },
    claim,
  );
  const fit = fitClock(history, claim);
  if (!fit) throw new Error('no fit');
  expect(fit.roundTripNs / 1e9).toBeCloseTo(0.03, 12);
  expect((1_000_106e6 - hostNs(fit, 1_000_106)) / 1e9).toBeCloseTo(0.09, 9);
});
