/** From one shot's edges to its velocity, Mach and drag with their budgets. */
import { reductionCosts } from '../../support/cost/reductions.ts';
import { median } from '../costs.ts';
import type { Section } from '../section.ts';

/** The crew waits for it: a tenth of what may pass between edge and page. */
const MS_MAX = 10;

export const reduction: Section = async function* ({ isSmall }) {
  const { plainUs, debrisUs } = reductionCosts(isSmall ? 20 : 300);
  const [plain, debris] = [median(plainUs), median(debrisUs)];
  yield {
    row: {
      what: `a shot through four gates reduced, with its budget, median of ${plainUs.length} shots; through fragments and blast`,
      wanted: `under ${MS_MAX} ms`,
      found: `${plain.toFixed(0)} µs; ${debris.toFixed(0)} µs of a core`,
      reached: isSmall || Math.max(plain, debris) < 1000 * MS_MAX,
    },
    values: { plainUs: plain, debrisUs: debris },
  };
};
