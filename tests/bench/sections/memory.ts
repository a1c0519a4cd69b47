/** Does a host grow over a day at the range? Hours of it in virtual time. */
import { longSessionAlone } from '../../support/cost/long-session.ts';
import type { Section } from '../section.ts';

const HOURS = 12;
const SMALL_HOURS = 1 / 6;
/** Of what it held after the first quarter, when every ring and history is full. */
const GROWTH_MAX = 1.15;

export const memory: Section = async function* ({ isSmall, folder }) {
  const hours = isSmall ? SMALL_HOURS : HOURS;
  const looks = await longSessionAlone({ seconds: 3600 * hours, looks: 12, folder });
  const quarter = looks[2];
  const last = looks.at(-1);
  if (!quarter || !last) throw new Error('no look at the memory');
  const growth = last.memoryBytes / quarter.memoryBytes;
  const resident = last.residentBytes / quarter.residentBytes;
  const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(0)} MB`;
  yield {
    row: {
      what: `memory at the end of ${hours.toFixed(1)} simulated hours, ${last.shots} shots, against that after a quarter of them`,
      wanted: `at most ${GROWTH_MAX}`,
      found: `${growth.toFixed(2)} (${megabytes(last.memoryBytes)} to ${megabytes(quarter.memoryBytes)}; resident ${megabytes(last.residentBytes)} to ${megabytes(quarter.residentBytes)})`,
      reached: isSmall || growth <= GROWTH_MAX,
    },
    ratios: { memoryGrowth: growth, residentGrowth: resident },
    values: looks,
    plot: {
      name: 'memory',
      axes: 'straight',
      title: `Memory over ${HOURS} simulated hours`,
      x: { label: 'Time of the session', unit: 'h' },
      y: { label: 'Held', unit: 'MB' },
      lines: [
        { name: 'heap and buffers, collected', points: looks.map(({ atS, memoryBytes }) => [atS / 3600, memoryBytes / 1e6]) },
        { name: 'resident', points: looks.map(({ atS, residentBytes }) => [atS / 3600, residentBytes / 1e6]) },
      ],
    },
  };
};
