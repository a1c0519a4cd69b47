/** From raw numbers to quantities, each kind held against an independent way back. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LoopConversion } from '../../host/rig/conversions/loop.ts';
import type { PointsConversion } from '../../host/rig/conversions/points.ts';
import { evaluate, isMonotonic, type PolynomialConversion } from '../../host/rig/conversions/polynomial.ts';
import { betaCoefficients, type ThermistorConversion } from '../../host/rig/conversions/thermistor.ts';
import { type Conversion, convert } from '../../host/rig/index.ts';

const faultOf = (conversion: Conversion, raw: number) => convert({ conversion }, raw).fault;
const siOf = (conversion: Conversion, raw: number) => convert({ conversion }, raw).si;

/** A table of 2 to 20 points that rises or falls, with the slope of each piece. */
const table = fc
  .record({
    from: fc.record({ raw: fc.integer({ min: 0, max: 1000 }), si: fc.integer({ min: -1000, max: 1000 }) }),
    steps: fc.array(fc.tuple(fc.integer({ min: 1, max: 3000 }), fc.integer({ min: 1, max: 10_000 })), { minLength: 1, maxLength: 19 }),
    sign: fc.constantFrom(1, -1),
  })
  .map(({ from, steps, sign }) => {
    const points = [from];
    for (const [raw, si] of steps) {
      const last = points.at(-1) ?? from;
      points.push({ raw: last.raw + raw, si: last.si + sign * si });
    }
    const conversion = { kind: points.length === 2 ? 'line' : 'table', points, bounds: {} } as unknown as PointsConversion;
    return { conversion, points, sign };
  });

describe('calibration points', () => {
  it('are met exactly, and between two of them no value leaves the two', () => {
    fc.assert(
      fc.property(table, fc.double({ min: 0, max: 1, noNaN: true }), ({ conversion, points }, share) => {
        for (const [i, point] of points.entries()) {
          expect(siOf(conversion, point.raw)).toBeCloseTo(point.si, 6);
          const next = points[i + 1];
          if (next === undefined) continue;
          const between = siOf(conversion, point.raw + share * (next.raw - point.raw));
          expect(between).toBeCloseTo(point.si + share * (next.si - point.si), 6);
        }
      }),
    );
  });

  it('give a curve that turns back nowhere, beyond their ends neither', () => {
    const raws = fc.tuple(fc.double({ min: -5000, max: 70_000, noNaN: true }), fc.double({ min: 0.01, max: 5000, noNaN: true }));
    fc.assert(
      fc.property(table, raws, ({ conversion, sign }, [raw, more]) => {
        expect(Math.sign(siOf(conversion, raw + more) - siOf(conversion, raw))).toBe(sign);
      }),
    );
  });

  it('have faults at the ends of the converter and outside their range', () => {
    const bounds = { railLow: 0, railHigh: 1023, range: [80, 940] } as const;
    const conversion: Conversion = {
      kind: 'line',
      points: [
        { raw: 100, si: 0 },
        { raw: 900, si: 800 },
      ],
      bounds,
    };
    expect([0, 1, 79.9, 80, 500, 940, 941, 1022, 1023, 2000].map((raw) => faultOf(conversion, raw))).toEqual([
      'railed-low',
      'outside-range',
      'outside-range',
      undefined,
      undefined,
      undefined,
      'outside-range',
      'outside-range',
      'railed-high',
      'railed-high',
    ]);
    expect(siOf(conversion, 50)).toBe(-50);
  });
});

describe('polynomials', () => {
  it('are told monotonic just where a fine comb finds no turn', () => {
    const coefficients = fc.array(fc.integer({ min: -8, max: 8 }), { minLength: 2, maxLength: 8 });
    fc.assert(
      fc.property(coefficients, fc.integer({ min: -3, max: 2 }), fc.integer({ min: 1, max: 3 }), (c, from, width) => {
        const comb = Array.from({ length: 4001 }, (_, i) => evaluate(c, from + (i * width) / 4000));
        const steps = comb.slice(1).map((value, i) => value - (comb[i] as number));
        const total = steps.reduce((sum, step) => sum + Math.abs(step), 0);
        const [up, down] = [1, -1].map((sign) => steps.reduce((sum, step) => sum + Math.max(0, sign * step), 0)) as [number, number];
        const told = isMonotonic(c, from, from + width);
        if (Math.min(up, down) > 1e-6 * total || total === 0) expect(told).toBe(false);
        // Where the curve is nearly level the comb could miss a turn between two of its teeth.
        else if (steps.every((step) => Math.abs(step) > (1e-3 * total) / steps.length)) expect(told).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  it('with a level place in the middle still rise', () => {
    // (x − 1)³
    expect(isMonotonic([-1, 3, -3, 1], 0, 2)).toBe(true);
    // (x − 1)²
    expect(isMonotonic([1, -2, 1], 0, 2)).toBe(false);
    expect(isMonotonic([1, -2, 1], 0, 1)).toBe(true);
    expect(isMonotonic([5, 0, 0], 0, 2)).toBe(false);
  });

  it('go on along their tangents beyond their range', () => {
    const conversion: PolynomialConversion = {
      kind: 'polynomial',
      coefficients: [0, 0, 2],
      xPerRaw: 0.1,
      range: [10, 30],
      bounds: { railLow: 0, railHigh: 100, range: [10, 30] },
    };
    // 2x² with x from 1 to 3: slopes 4 and 12 there.
    expect([10, 20, 30].map((raw) => siOf(conversion, raw))).toEqual([2, 8, 18]);
    expect(siOf(conversion, 40)).toBeCloseTo(30, 12);
    expect(siOf(conversion, 5)).toBeCloseTo(0, 12);
    expect([0, 5, 10, 30, 40, 100].map((raw) => faultOf(conversion, raw))).toEqual([
      'railed-low',
      'outside-range',
      undefined,
      undefined,
      'outside-range',
      'railed-high',
    ]);
  });
});

describe('a 4–20 mA loop', () => {
  const loop: LoopConversion = { kind: 'loop', shuntOhm: 150, referenceV: 3.3, fullScale: 65_535, siAt4mA: -1e5, siAt20mA: 5e6 };
  const rawAt = (milliamperes: number): number => (((milliamperes / 1000) * loop.shuntOhm) / loop.referenceV) * loop.fullScale;

  it('is straight from 4 to 20 mA', () => {
    fc.assert(
      fc.property(fc.double({ min: 3.81, max: 20.49, noNaN: true }), (milliamperes) => {
        const converted = convert({ conversion: loop }, rawAt(milliamperes));
        expect(converted).not.toHaveProperty('fault');
        expect(converted.si).toBeCloseTo(-1e5 + ((milliamperes - 4) / 16) * 5.1e6, 3);
      }),
    );
  });

  it.each<[number, string | undefined]>([
    [0, 'loop-open'],
    [3.59, 'loop-open'],
    [3.61, 'outside-range'],
    [3.79, 'outside-range'],
    [3.81, undefined],
    [20.49, undefined],
    [20.51, 'outside-range'],
    [20.99, 'outside-range'],
    [21.01, 'loop-short'],
    [22, 'loop-short'],
  ])('carrying %d mA is %s', (milliamperes, fault) => {
    expect(faultOf(loop, rawAt(milliamperes))).toBe(fault);
  });

  it('whose shunt fills the converter at 20 mA is railed there', () => {
    const short: LoopConversion = { ...loop, shuntOhm: 165 };
    expect(faultOf(short, 65_535)).toBe('railed-high');
    expect(faultOf(short, 65_534)).toBeUndefined();
  });
});

describe('a thermistor', () => {
  const kelvins = fc.double({ min: 219, max: 422, noNaN: true });
  const divider = fc.record({
    fixedOhm: fc.double({ min: 1e3, max: 1e5, noNaN: true }),
    fixedTo: fc.constantFrom<ThermistorConversion['fixedTo']>('supply', 'ground'),
    fullScale: fc.constantFrom(1023, 4095, 65_535),
  });
  /** The divider as Ohm's law has it, from the two resistors in series. */
  const rawOf = (ohm: number, { fixedOhm, fixedTo, fullScale }: Pick<ThermistorConversion, 'fixedOhm' | 'fixedTo' | 'fullScale'>): number =>
    (fullScale * (fixedTo === 'supply' ? ohm : fixedOhm)) / (ohm + fixedOhm);

  it('with β gives the temperature back that made its resistance', () => {
    const beta = fc.record({ r25: fc.double({ min: 1e3, max: 1e5, noNaN: true }), b: fc.double({ min: 3000, max: 4500, noNaN: true }) });
    fc.assert(
      fc.property(kelvins, beta, divider, (kelvin, { r25, b }, circuit) => {
        const ohm = r25 * Math.exp(b / kelvin - b / 298.15);
        const conversion: Conversion = { kind: 'thermistor', ...betaCoefficients(r25, b), ...circuit };
        const converted = convert({ conversion }, rawOf(ohm, circuit));
        expect(converted).not.toHaveProperty('fault');
        expect(converted.si).toBeCloseTo(kelvin, 6);
      }),
    );
  });

  it('with three coefficients likewise, by the closed form of the cubic', () => {
    const [a, b, c] = [1.129148e-3, 2.34125e-4, 8.76741e-8];
    fc.assert(
      fc.property(kelvins, divider, (kelvin, circuit) => {
        // Cardano's formula for c L³ + b L + (a − 1/T) = 0.
        const half = (a - 1 / kelvin) / (2 * c);
        const root = Math.sqrt((b / (3 * c)) ** 3 + half ** 2);
        const ohm = Math.exp(Math.cbrt(root - half) - Math.cbrt(root + half));
        expect(siOf({ kind: 'thermistor', a, b, c, ...circuit }, rawOf(ohm, circuit))).toBeCloseTo(kelvin, 5);
      }),
    );
  });

  it('that is shorted, broken or beyond belief has a fault', () => {
    const circuit = { fixedOhm: 10e3, fixedTo: 'supply', fullScale: 1023 } as const;
    const conversion: Conversion = { kind: 'thermistor', ...betaCoefficients(10e3, 3950), ...circuit };
    expect(convert({ conversion }, 0)).toEqual({ si: Number.NaN, fault: 'railed-low' });
    expect(convert({ conversion }, 1023)).toEqual({ si: Number.NaN, fault: 'railed-high' });
    expect(faultOf(conversion, 1)).toBe('outside-range');
    expect(faultOf(conversion, 1022.9)).toBe('outside-range');
  });
});

describe('an instrument that tells its quantity', () => {
  it('is outside its range where the rig file states one', () => {
    const celsius = { kind: 'direct', multiply: 100, add: 27_315, divide: 100 } as const;
    expect(convert({ conversion: celsius }, 20)).toEqual({ si: 293.15 });
    const ranged: Conversion = { ...celsius, rangeSi: [273.15, 313.15] };
    expect([-1, 0, 40, 41].map((raw) => faultOf(ranged, raw))).toEqual(['outside-range', undefined, undefined, 'outside-range']);
  });
});
