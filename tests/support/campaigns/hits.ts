/** How often the fill that the map gives for a velocity hits it, and how wide it says it may miss. */
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { fillFor, fitMap, type MapShot, supportOf } from '../../../host/analysis/map/index.ts';
import { AMBIENT_PA, LIMITS, problemOf, SimulatedWorld, type WorldOptions } from './simulated-shots.ts';

export interface Hits {
  readonly asked: number;
  readonly hit: number;
  readonly refused: number;
  /** Half-widths of the next shot's 95 % interval, relative to the velocity. */
  readonly meanHalfWidth: number;
  readonly largestHalfWidth: number;
  /** Campaigns without a map. */
  readonly withoutMap: number;
  /** Shots left out, though every one was honest. */
  readonly setAside: number;
}

export const CAMPAIGN_SHOTS = 12;
const BARRELS_PA = [4e3, 30e3, AMBIENT_PA] as const;
const FILLS_PA = { low: 0.35e6, high: 3.85e6 };
const VELOCITIES_MPS = { low: 170, high: 550 };

/**
 * Campaigns of twelve shots over six fills and three barrel pressures, as a crew would shoot them; then of each map a
 * velocity at each barrel pressure, and the shot at the fill that it answers.
 */
export function hits({
  firstSeed,
  campaigns,
  ...world
}: Omit<WorldOptions, 'seed'> & { readonly firstSeed: number; readonly campaigns: number }): Hits {
  let [asked, hit, refused, sum, largestHalfWidth, withoutMap, setAside] = [0, 0, 0, 0, 0, 0, 0];
  for (let seed = firstSeed; seed < firstSeed + campaigns; seed++) {
    const range = new SimulatedWorld({ ...world, seed });
    const random = randomStream(seed, 'campaign-plan');
    const shots = Array.from({ length: CAMPAIGN_SHOTS }, (_, i): MapShot => {
      const fillPa = FILLS_PA.low * (FILLS_PA.high / FILLS_PA.low) ** ((Math.floor(i / 2) + random.between(0, 0.3)) / 5.3);
      const barrelPa = i % 2 === 0 ? random.between(3e3, 6e3) : i % 4 === 1 ? random.between(20e3, 40e3) : AMBIENT_PA;
      return range.shoot(fillPa, barrelPa).shot;
    });
    const map = fitMap(problemOf(shots));
    if (!map) {
      withoutMap += 1;
      continue;
    }
    setAside += map.setAside.length;
    const support = supportOf(map.shotsUsed, LIMITS);
    for (const barrelPressurePa of BARRELS_PA) {
      const weather = range.weather();
      const velocityMps = random.between(VELOCITIES_MPS.low, VELOCITIES_MPS.high);
      const answer = fillFor(map, { velocityMps, barrelPressurePa, ...weather }, support);
      if (answer.kind === 'refused') {
        refused += 1;
        continue;
      }
      const { lowMps, highMps } = answer.expected.nextShot;
      const { trueMps } = range.shoot(answer.reservoirPressurePa, barrelPressurePa, weather);
      const halfWidth = (highMps - lowMps) / (2 * velocityMps);
      asked += 1;
      if (trueMps >= lowMps && trueMps <= highMps) hit += 1;
      sum += halfWidth;
      largestHalfWidth = Math.max(largestHalfWidth, halfWidth);
    }
  }
  return { asked, hit, refused, meanHalfWidth: sum / asked, largestHalfWidth, withoutMap, setAside };
}
