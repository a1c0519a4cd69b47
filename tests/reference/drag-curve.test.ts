/**
 * The curve from simulated shots of a smooth sphere against published values.
 *
 * Values: S. F. Hoerner, Fluid-Dynamic Drag (1965), ch. 16, Reynolds numbers above 3e5, from a public digitisation,
 * read to 0.02; from Mach 1.1 on Loth et al., AIAA Journal 59(8) (2021), eqs (7)–(8), at Re 3e5, lie within 5 % of it
 * (spread of published curves; here the ball's Reynolds numbers are 1e6 to 2e6, where there is one curve only).
 */
import { expect, test } from 'vitest';
import { dragCurves } from '../../host/analysis/drag/index.ts';
import { dragCampaign } from '../support/drag/drag-campaign.ts';
import { HERON_RIG } from '../support/heron.ts';

/** Mach, Hoerner above the crisis, Loth at Re 3e5. */
const PUBLISHED = [
  [0.9, 0.664, undefined],
  [1.0, 0.835, undefined],
  [1.1, 0.908, 0.925],
  [1.2, 0.953, 0.9653],
  [1.4, 0.996, 0.9988],
] as const;

test('shots of a smooth sphere give its published drag back', () => {
  const { shots } = dragCampaign(HERON_RIG, { seed: 11, shots: 16, muzzleMps: [300, 540], scatter: 0, departure: 0 });
  const [kind] = dragCurves(shots).kinds;
  const curve = kind?.curve.flat() ?? [];
  for (const [mach, hoerner, loth] of PUBLISHED) {
    const near = curve.toSorted((a, b) => Math.abs(a.mach - mach) - Math.abs(b.mach - mach))[0];
    expect(Math.abs((near?.mach ?? 0) - mach)).toBeLessThan(0.01);
    // Read to 0.02; the band is what the gates add.
    expect(near?.low).toBeLessThan(hoerner + 0.02);
    expect(near?.high).toBeGreaterThan(hoerner - 0.02);
    expect(Math.abs((near?.dragCoefficient ?? 0) - hoerner)).toBeLessThan(0.035);
    if (loth !== undefined) expect((near?.dragCoefficient ?? 0) / loth).toBeCloseTo(1, 1.3);
  }
  expect(kind?.reference.source).toBe('Hoerner 1965');
});
