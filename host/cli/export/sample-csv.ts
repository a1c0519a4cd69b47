/** Samples as comma-separated values: a column for each quantity that there is, its unit in the header. */
import type { Measure } from '../../../protocol/index.ts';
import type { ExportedSample, StoredChannel } from '../../store/index.ts';
import { type Cell, csvLine } from '../text/csv.ts';
import { utcNsText } from './utc-ns-text.ts';

const TITLES: Readonly<Record<Measure, string>> = {
  pressure: 'pressure (Pa)',
  temperature: 'temperature (K)',
  ratio: 'ratio (1)',
  speed: 'speed (m/s)',
  voltage: 'voltage (V)',
};
/** Of channels that their session's rig does not know. */
const UNKNOWN = 'value (SI)';

export interface SampleCsv {
  readonly header: string;
  line(sample: ExportedSample): string;
}

/** @param channels  those of which there will be samples */
export function sampleCsv(channels: readonly StoredChannel[]): SampleCsv {
  const titleOf = new Map(
    channels.map(({ session, channel, measures }) => [keyOf(session, channel), measures ? TITLES[measures] : UNKNOWN]),
  );
  const titles = [...Object.values(TITLES), UNKNOWN].filter((title) => [...titleOf.values()].includes(title));
  const header = csvLine(['session', 'rig', 'channel', 'stream', 'session time (ns)', 'time (UTC)', ...titles, 'count (1)']);
  return {
    header,
    line: ({ session, rig, channel, stream, atNs, utcNs, valueSi, count }) => {
      const own = titleOf.get(keyOf(session, channel));
      const values = titles.map((title): Cell => (title === own ? valueSi : undefined));
      return csvLine([session, rig, channel, stream, atNs, utcNs === undefined ? undefined : utcNsText(utcNs), ...values, count]);
    },
  };
}

const keyOf = (session: string, channel: string): string => JSON.stringify([session, channel]);
