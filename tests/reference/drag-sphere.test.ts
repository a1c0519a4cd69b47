import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hoernerSphereDrag, lothSphereDrag, monotoneCubic, referenceSphereDrag, smoothLothDrag } from '../../host/physics/index.ts';

// Loth, Daspit, Jeong, Nagata, Nonomura, AIAA J. 59(8) (2021) 3261–3274, eqs (7a)–(8e), recomputed outside this
// project. Mach, then drag at Re 1e4, 1e5, 2e5, 3e5, to four decimals; id 7a.
const LOTH = [
  [0.3, 0.4128, 0.4781, 0.4767, 0.4741],
  [0.4, 0.429, 0.4843, 0.4824, 0.4798],
  [0.5, 0.4585, 0.4963, 0.4941, 0.4918],
  [0.6, 0.4983, 0.5171, 0.5165, 0.5155],
  [0.7, 0.5287, 0.55, 0.5552, 0.5574],
  [0.8, 0.5703, 0.613, 0.625, 0.6306],
  [0.9, 0.696, 0.7383, 0.7474, 0.7514],
  [1.0, 0.814, 0.8482, 0.8539, 0.856],
  [1.1, 0.8966, 0.9216, 0.9244, 0.925],
  [1.2, 0.9531, 0.9661, 0.966, 0.9653],
  [1.4, 1.0149, 1.0059, 1.0015, 0.9988],
  [1.5, 1.0324, 1.0148, 1.009, 1.0055],
  [1.6, 1.0425, 1.0176, 1.0105, 1.0065],
  [1.8, 1.056, 1.02, 1.0112, 1.0064],
  [2.0, 1.0633, 1.0196, 1.0095, 1.0043],
] as const;

// Hoerner, Fluid-Dynamic Drag (1965), ch. 16, Re > 3e5, read off a public digitisation with straight lines between its
// points; reading error 0.02. Mach, drag; ids 7a, 7.6.
const HOERNER = [
  [0.3, 0.108],
  [0.4, 0.116],
  [0.5, 0.131],
  [0.6, 0.163],
  [0.7, 0.326],
  [0.8, 0.659],
  [0.9, 0.664],
  [1.0, 0.835],
  [1.1, 0.908],
  [1.2, 0.953],
  [1.4, 0.996],
  [1.5, 1.008],
  [1.6, 1.014],
  [1.8, 1.023],
  [2.0, 1.028],
  [9.86, 0.922],
] as const;

describe('sphere drag below the drag crisis', () => {
  it.each([
    [0.5, 1e5, 0.49630248],
    [1.0, 1e5, 0.84823355],
    [1.5, 2e5, 1.00895375],
    [2.0, 2e5, 1.00954387],
  ])('7.1: Mach %d, Re %d gives %d to 1e-7', (mach, reynolds, expected) => {
    expect(Math.abs(lothSphereDrag({ mach, reynolds }).value / expected - 1)).toBeLessThan(1e-7);
  });

  it.each(LOTH)('7a: Mach %d', (mach, ...expected) => {
    [1e4, 1e5, 2e5, 3e5].forEach((reynolds, i) => {
      expect(Math.abs(lothSphereDrag({ mach, reynolds }).value - (expected[i] ?? Number.NaN))).toBeLessThan(5.1e-5);
    });
  });

  it('as published it steps from 0.5944 to 0.6130 at Mach 0.8 and Re 1e5; the smoothed one does not', () => {
    expect(lothSphereDrag({ mach: 0.8 - 1e-9, reynolds: 1e5 }).value).toBeCloseTo(0.5944, 4);
    expect(lothSphereDrag({ mach: 0.8, reynolds: 1e5 }).value).toBeCloseTo(0.613, 4);
    const step = smoothLothDrag({ mach: 0.8, reynolds: 1e5 }).value - smoothLothDrag({ mach: 0.8 - 1e-9, reynolds: 1e5 }).value;
    expect(Math.abs(step)).toBeLessThan(1e-8);
  });

  it('smoothing leaves the rest alone', () => {
    for (const mach of [0.1, 0.5, 0.74, 0.86, 0.94, 1.06, 1.2, 1.44, 1.56, 2]) {
      expect(smoothLothDrag({ mach, reynolds: 2e5 })).toEqual(lothSphereDrag({ mach, reynolds: 2e5 }));
    }
  });

  it('7.2–7.4: the other published curve for these Reynolds numbers lies within two and a half standard uncertainties', () => {
    // Hoerner 1965, Re < 3e5 column: Mach, drag.
    for (const [mach, hoerner] of [
      [0.3, 0.483],
      [0.5, 0.503],
      [0.6, 0.523],
      [0.8, 0.677],
      [0.9, 0.638],
      [1.0, 0.788],
      [1.1, 0.908],
      [1.5, 1.008],
      [2.0, 1.028],
    ] as const) {
      const loth = referenceSphereDrag({ mach, reynolds: 2e5 });
      expect(Math.abs(loth.dragCoefficient / hoerner - 1)).toBeLessThan(2.5 * loth.relativeStandardUncertainty);
    }
  });

  it('7.2–7.4: 5 %, 15 % and 5 % taken as half-widths of a rectangle', () => {
    const at = (mach: number) => referenceSphereDrag({ mach, reynolds: 2e5 }).relativeStandardUncertainty;
    for (const mach of [0.3, 0.6, 1.1, 1.5, 2.0]) expect(at(mach)).toBeCloseTo(0.05 / Math.sqrt(3), 12);
    for (const mach of [0.7, 0.8, 1.0]) expect(at(mach)).toBeCloseTo(0.15 / Math.sqrt(3), 12);
  });
});

describe('sphere drag above the drag crisis', () => {
  it.each(HOERNER)('7.5, 7.6: Mach %d gives %d within the reading error', (mach, expected) => {
    expect(Math.abs(hoernerSphereDrag(mach).value - expected)).toBeLessThan(0.02);
  });

  it('goes exactly through read points', () => {
    for (const [mach, dragCoefficient] of [
      [0.4311, 0.1195],
      [0.7106, 0.4263],
      [0.7539, 0.6853],
      [0.9154, 0.6932],
      [1.3606, 0.9906],
      [2.0135, 1.0282],
    ] as const) {
      expect(hoernerSphereDrag(mach).value).toBeCloseTo(dragCoefficient, 12);
    }
  });

  it('is the reference from Re 4e5, with the reading error in its uncertainty', () => {
    for (const mach of [0.5, 0.8, 1.2]) {
      const reference = referenceSphereDrag({ mach, reynolds: 1.2e6 });
      expect(reference.dragCoefficient).toBe(hoernerSphereDrag(mach).value);
      expect(reference.slopePerMach).toBe(hoernerSphereDrag(mach).slope);
      expect(reference.source).toBe('Hoerner 1965');
      expect(reference.relativeStandardUncertainty).toBeGreaterThan(0.02 / Math.sqrt(3) / reference.dragCoefficient);
    }
  });
});

describe('the reference curve', () => {
  const machs = fc.double({ min: 0.001, max: 12, noNaN: true });
  const log10Re = fc.double({ min: 2, max: 7, noNaN: true });

  it('its slope is the slope of its value, everywhere', () => {
    fc.assert(
      fc.property(machs, log10Re, (mach, power) => {
        const reynolds = 10 ** power;
        const step = 1e-6;
        const value = (m: number) => referenceSphereDrag({ mach: m, reynolds }).dragCoefficient;
        const numeric = (value(mach + step) - value(mach - step)) / (2 * step);
        // The second derivative jumps at the read points; across one the difference quotient is off by up to about 1e-4.
        expect(Math.abs(numeric - referenceSphereDrag({ mach, reynolds }).slopePerMach)).toBeLessThan(5e-4);
      }),
      { numRuns: 2000 },
    );
  });

  it('is continuous in Mach and Reynolds number, positive, and always says how far to trust it', () => {
    fc.assert(
      fc.property(machs, log10Re, (mach, power) => {
        const reynolds = 10 ** power;
        const here = referenceSphereDrag({ mach, reynolds });
        const near = referenceSphereDrag({ mach: mach + 1e-7, reynolds: reynolds * (1 + 1e-7) });
        expect(Math.abs(near.dragCoefficient - here.dragCoefficient)).toBeLessThan(1e-5);
        expect(here.dragCoefficient).toBeGreaterThan(0.05);
        expect(here.relativeStandardUncertainty).toBeGreaterThan(0.02);
        expect(here.relativeStandardUncertainty).toBeLessThan(0.5);
      }),
    );
    for (const reynolds of [3e5, 4e5]) {
      const below = referenceSphereDrag({ mach: 0.5, reynolds: reynolds * (1 - 1e-9) });
      const above = referenceSphereDrag({ mach: 0.5, reynolds: reynolds * (1 + 1e-9) });
      expect(Math.abs(below.dragCoefficient - above.dragCoefficient)).toBeLessThan(1e-9);
      expect(Math.abs(below.relativeStandardUncertainty - above.relativeStandardUncertainty)).toBeLessThan(1e-6);
    }
  });

  it('in the middle of the crisis its uncertainty reaches half-way to either curve', () => {
    const middle = referenceSphereDrag({ mach: 0.4, reynolds: Math.sqrt(3e5 * 4e5) });
    expect(middle.relativeStandardUncertainty * middle.dragCoefficient * Math.sqrt(3)).toBeGreaterThan((0.48 - 0.116) / 2);
  });

  it('refuses what cannot be', () => {
    for (const at of [
      { mach: -0.1, reynolds: 1e6 },
      { mach: Number.NaN, reynolds: 1e6 },
      { mach: 0.5, reynolds: 45 },
      { mach: 0.5, reynolds: Number.NaN },
      { mach: 0.5, reynolds: Number.POSITIVE_INFINITY },
    ]) {
      expect(() => referenceSphereDrag(at)).toThrow(RangeError);
    }
    expect(() => hoernerSphereDrag(-1)).toThrow(RangeError);
  });
});

describe('the monotone cubic', () => {
  it('passes through its points and never leaves the band between neighbours', () => {
    const points = fc
      .uniqueArray(fc.integer({ min: -1000, max: 1000 }), { minLength: 2, maxLength: 12 })
      .chain((xs) =>
        fc.tuple(
          fc.constant([...xs].sort((a, b) => a - b)),
          fc.array(fc.double({ min: -10, max: 10, noNaN: true }), { minLength: xs.length, maxLength: xs.length }),
        ),
      );
    fc.assert(
      fc.property(points, fc.double({ min: 0, max: 1, noNaN: true }), ([xs, ys], share) => {
        const curve = monotoneCubic(xs, ys);
        for (let i = 0; i < xs.length; i++) expect(curve(xs[i] ?? 0).value).toBeCloseTo(ys[i] ?? Number.NaN, 9);
        for (let i = 1; i < xs.length; i++) {
          const [x0 = 0, x1 = 0, y0 = 0, y1 = 0] = [xs[i - 1], xs[i], ys[i - 1], ys[i]];
          const { value } = curve(x0 + share * (x1 - x0));
          expect(value).toBeGreaterThanOrEqual(Math.min(y0, y1) - 1e-9);
          expect(value).toBeLessThanOrEqual(Math.max(y0, y1) + 1e-9);
        }
      }),
    );
  });

  it('refuses points that do not rise', () => {
    expect(() => monotoneCubic([0, 0], [1, 2])).toThrow(RangeError);
    expect(() => monotoneCubic([0, 1], [1])).toThrow(RangeError);
  });
});
