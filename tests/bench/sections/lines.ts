/** Lines a second from a real pseudo-terminal through the whole host, beside the serial library and its parser alone. */

import { type Burst, measureIngest } from '../../support/ingest/ingest.ts';
import { BAUD_RATE } from '../../support/ingest/lines.ts';
import { median } from '../costs.ts';
import type { Section } from '../section.ts';

/** Start, eight data bits, stop. */
const BITS_A_BYTE = 10;
const SHARE_MIN = 0.6;

export const lines: Section = async function* ({ isSmall }) {
  const { bare, host } = await measureIngest(isSmall ? { rounds: 2, blocks: 2000 } : { rounds: 7, blocks: 20_000 });
  const pairs = host.map((ours, i) => [ours, bare[i] as Burst] as const);
  const share = median(pairs.map(([ours, other]) => ours.linesPerS / other.linesPerS));
  const core = median(pairs.map(([ours, other]) => other.cpuUsPerLine / ours.cpuUsPerLine));
  const wire = median(host.map(({ bytesPerS }) => (bytesPerS * BITS_A_BYTE) / BAUD_RATE));
  const of = (bursts: readonly Burst[]): string =>
    `${Math.round(median(bursts.map(({ linesPerS }) => linesPerS)))}/s, ${median(bursts.map(({ cpuUsPerLine }) => cpuUsPerLine)).toFixed(0)} µs of a core each`;
  yield {
    row: {
      what: `lines of 50 samples from a pseudo-terminal through record, journal, pipeline, store and feed, against the bare serial library with its line parser, median of ${pairs.length} pairs`,
      wanted: `at least ${SHARE_MIN}`,
      found: `${share.toFixed(2)} (${of(host)}; bare ${of(bare)})`,
      reached: isSmall || share >= SHARE_MIN,
    },
    ratios: { hostToBareParser: share, hostToBareParserCore: core },
    values: { host, bare },
  };
  yield {
    row: {
      what: '… against what a board at 1 Mbaud can say',
      wanted: 'at least 2',
      found: `${wire.toFixed(1)} times as much`,
      reached: isSmall || wire >= 2,
    },
    ratios: { hostToWire: wire },
  };
};
