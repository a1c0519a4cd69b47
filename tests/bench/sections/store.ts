/** Writing into the store, with its summaries, beside the library's own quickest way in. At length: `npm run bench:store`. */
import { DAY_CHANNELS } from '../../support/store/recorded-day.ts';
import { writePairs } from '../../support/store/write-pairs.ts';
import { median } from '../costs.ts';
import type { Section } from '../section.ts';

const SHARE_MIN = 0.7;

export const store: Section = async function* ({ isSmall, folder }) {
  const seconds = isSmall ? 10 : 60;
  const pairs = await writePairs({ folder, seed: 6, seconds, ...(isSmall ? { warmUp: 1, pairs: 3 } : { warmUp: 10, pairs: 9 }) });
  const share = median(pairs.map(({ ours, bare }) => bare.wallMs / ours.wallMs));
  const core = median(pairs.map(({ ours, bare }) => bare.coreMs / ours.coreMs));
  const samples = seconds * 1000 * DAY_CHANNELS.length;
  const rate = samples / median(pairs.map(({ ours }) => ours.wallMs)) / 1e3;
  yield {
    row: {
      what: `writing ${samples} samples into the store with all summaries, against the library's own data chunks, median of ${pairs.length} pairs`,
      wanted: `at least ${SHARE_MIN}`,
      found: `${share.toFixed(2)} on the wall (${rate.toFixed(2)} M samples/s), ${core.toFixed(2)} of a core`,
      reached: isSmall || Math.max(share, core) >= SHARE_MIN,
    },
    ratios: { storeToBulk: share, storeToBulkCore: core },
    values: { pairs },
  };
};
