/** `npm run check:campaigns`, the drag curve: does its band hold the truth in campaigns of 12 shots? */
import { bandCoverage } from '../../support/drag/band-coverage.ts';
import { HERON_RIG } from '../../support/heron.ts';
import type { Row } from '../table.ts';

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/** @param scale  1 for 200 campaigns */
export function* dragRows(scale: number): Generator<Row> {
  const seeds = Math.max(4, Math.round(200 * scale));
  const { places, covered, medianHalfWidth, answered, outliers } = bandCoverage(HERON_RIG, { seeds, firstSeed: 1 });
  yield {
    what: `drag curve's 95 % band holds the truth, ${seeds} campaigns of 12 shots, ${places} places`,
    wanted: scale < 1 ? '88 % to 100 %' : '93 % to 97 %',
    found: `${percent(covered)}; half-width ${percent(medianHalfWidth)} of the drag (median), a band at ${percent(answered)} of the places between the shots`,
    reached: scale < 1 ? covered >= 0.88 : covered >= 0.93 && covered <= 0.97,
  };
  yield {
    what: '… honest shots called far from the others',
    wanted: 'at most 0.5 %',
    found: percent(outliers),
    reached: outliers <= 0.005 || scale < 1,
  };
}
