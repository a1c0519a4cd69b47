/** How often a drag curve's band holds the truth, over many campaigns. */
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { dragCurves } from '../../../host/analysis/drag/index.ts';
import type { Rig } from '../../../host/rig/index.ts';
import { dragCampaign } from './drag-campaign.ts';

export interface BandCoverage {
  readonly campaigns: number;
  /** Places asked, over all campaigns. */
  readonly places: number;
  /** Share of them at which the band holds the truth. */
  readonly covered: number;
  /** Of the band, relative to the drag, expanded. */
  readonly medianHalfWidth: number;
  /** Share of the Mach numbers between the first shot and the last at which a band is given. */
  readonly answered: number;
  /** Shots called outliers, of all; every shot is an honest one. */
  readonly outliers: number;
}

const PLACES = 6;
export const CAMPAIGN = { shots: 12, muzzleMps: [230, 540] } as const;

/** @param seeds  of the campaigns; half of them have balls that differ by 0.3 % */
export function bandCoverage(rig: Rig, { seeds, firstSeed }: { readonly seeds: number; readonly firstSeed: number }): BandCoverage {
  let [places, held, asked, outliers, shots] = [0, 0, 0, 0, 0];
  const widths: number[] = [];
  for (let seed = firstSeed; seed < firstSeed + seeds; seed++) {
    const { shots: fired, dragAt } = dragCampaign(rig, { ...CAMPAIGN, seed, scatter: seed % 2 === 0 ? 0 : 0.003 });
    const [kind] = dragCurves(fired).kinds;
    if (!kind) continue;
    shots += fired.length;
    outliers += kind.points.filter(({ isOutlier }) => isOutlier).length;
    const random = randomStream(seed, 'places');
    const machs = kind.points.map(({ mach }) => mach);
    for (let place = 0; place < PLACES; place++) {
      asked += 1;
      const mach = random.between(Math.min(...machs), Math.max(...machs));
      const curve = kind.curve.find((each) => mach >= (each[0]?.mach ?? 0) && mach <= (each.at(-1)?.mach ?? 0));
      const point = curve?.toSorted((a, b) => Math.abs(a.mach - mach) - Math.abs(b.mach - mach))[0];
      if (!point) continue;
      places += 1;
      const truth = dragAt(point.mach);
      if (truth >= point.low && truth <= point.high) held += 1;
      widths.push((point.high - point.low) / (2 * point.dragCoefficient));
    }
  }
  widths.sort((a, b) => a - b);
  return {
    campaigns: seeds,
    places,
    covered: held / places,
    medianHalfWidth: widths[Math.floor(widths.length / 2)] ?? Number.NaN,
    answered: places / asked,
    outliers: outliers / shots,
  };
}
