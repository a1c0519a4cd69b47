/** The map's figures: does the fill it gives hit, how wide does it say, and what does planning save. */
import { CAMPAIGN_SHOTS, hits } from '../../support/campaigns/hits.ts';
import { comparePlans } from '../../support/campaigns/planned-shots.ts';
import type { Row } from '../table.ts';

const percent = (share: number, digits = 2): string => `${(100 * share).toFixed(digits)} %`;

const FIRST_SEED = 1;

/** @param scale  1 for 200 campaigns */
export function* mapRows(scale: number): Generator<Row> {
  const campaigns = Math.max(Math.round(200 * scale), 4);
  const firstSeed = FIRST_SEED;
  const of = `${campaigns} campaigns of ${CAMPAIGN_SHOTS} shots`;
  const plain = hits({ firstSeed, campaigns });
  yield coverageRow(`the fill given for a velocity hits it within the stated 95 %, ${of}`, plain);
  yield {
    what: '… half-width of that interval, largest (mean) relative to the velocity',
    wanted: 'under 2 %',
    found: `${percent(plain.largestHalfWidth)} (${percent(plain.meanHalfWidth)})`,
    reached: plain.largestHalfWidth < 0.02,
  };
  // Beyond what any launcher that is worth a map does: told, so that nobody takes the share above for it.
  const unsteady = coverageRow(
    `… from a valve that scatters three times as much, ${of}`,
    hits({ firstSeed, campaigns, valveScatter: 0.03 }),
  );
  yield { ...unsteady, wanted: 'told', reached: true };
  const departed = hits({ firstSeed, campaigns, departure: unknownToTheModel });
  yield {
    what: `… from a launcher that departs smoothly from every launch model by up to 1.5 %, ${of}`,
    wanted: 'at least 93 %',
    found: `${percent(departed.hit / departed.asked)} of ${departed.asked}; half-width ${percent(departed.meanHalfWidth)} mean`,
    reached: departed.hit >= 0.93 * departed.asked,
  };
  // A fifth of the seeds: each plans, and fits anew, after every shot.
  const fewer = Math.max(Math.round(campaigns / 5), 2);
  const { largest, rootMeanSquare } = comparePlans({ firstSeed, campaigns: fewer, uncertainties: [0.004, 0.002, 0.0015, 0.0012] });
  for (const { uncertainty, grid, planned } of largest) {
    // A coarse map is had from so few shots that there is little to save; and a handful of campaigns tells no ratio.
    const wanted = fewer < 10 ? 1.2 : uncertainty > 0.0018 ? 1 : 0.7;
    yield {
      what: `shots until the map is known everywhere to ${percent(uncertainty)} (k = 1), planned over even grid, ${fewer} campaigns`,
      wanted: `at most ${wanted}`,
      found: `${(planned / grid).toFixed(2)} (${planned.toFixed(1)} and ${grid.toFixed(1)})`,
      reached: planned <= wanted * grid,
    };
  }
  for (const { uncertainty, grid, planned } of rootMeanSquare) {
    yield {
      what: `… on average over the map to ${percent(uncertainty)}`,
      wanted: `at most ${fewer < 10 ? 1.2 : 1}`,
      found: `${(planned / grid).toFixed(2)} (${planned.toFixed(1)} and ${grid.toFixed(1)})`,
      reached: planned <= (fewer < 10 ? 1.2 : 1) * grid,
    };
  }
}

const unknownToTheModel = (reservoirPa: number, barrelPa: number): number => 0.015 * Math.sin(reservoirPa / 6e5) * (1 - barrelPa / 2e5);

function coverageRow(what: string, { asked, hit, refused, setAside, withoutMap }: ReturnType<typeof hits>): Row {
  const share = hit / asked;
  // A handful of campaigns cannot tell 95 % from 99 %.
  const [low, high] = asked < 100 ? [0.85, 1] : [0.93, 0.97];
  return {
    what,
    wanted: `${percent(low, 0)} to ${percent(high, 0)}`,
    found: `${percent(share)} of ${asked}; ${refused} refused, ${setAside} honest shots left out${withoutMap === 0 ? '' : `, ${withoutMap} without a map`}`,
    reached: share >= low && share <= high && withoutMap === 0,
  };
}
