/** A recorded session through the whole pipeline again: against the time that it took, and against reading its journal alone. */
import { join } from 'node:path';
import { foldEnd, foldRecord, NOTHING_FOLDED } from '../../../host/cli/replay/recorded-fold.ts';
import { readJournal } from '../../../host/journal/index.ts';
import { HERON_AT_REAL_PACE, writeVirtualJournal } from '../../support/virtual-journal.ts';
import { costOf, median } from '../costs.ts';
import type { Section } from '../section.ts';

const SEED = 5;
/** Of real time, so that a session of a day is looked at again in a few minutes. */
const REAL_TIME_MIN = 100;

export const replay: Section = async function* ({ isSmall, folder }) {
  const seconds = isSmall ? 60 : 1200;
  const path = join(folder, 'replayed.mcap');
  await writeVirtualJournal(path, { seed: SEED, shots: 1000, pace: 'real', rigText: HERON_AT_REAL_PACE, untilS: seconds });
  const parsed: number[] = [];
  const replayed: number[] = [];
  let records = 0;
  for (let pair = 0; pair <= (isSmall ? 3 : 5); pair += 1) {
    records = 0;
    const parse = await costOf(() => {
      for (const item of readJournal(path)) if ('record' in item) records += 1;
    });
    const whole = await costOf(() => {
      let fold = NOTHING_FOLDED;
      for (const item of readJournal(path)) if ('record' in item) [fold] = foldRecord(fold, item.record, undefined);
      foldEnd(fold);
    });
    // The first warms everything up.
    if (pair === 0) continue;
    parsed.push(parse.coreMs);
    replayed.push(whole.coreMs);
  }
  const times = (1000 * seconds) / median(replayed);
  const share = median(parsed.map((ms, i) => ms / (replayed[i] as number)));
  const us = (ms: readonly number[]): string => ((1000 * median(ms)) / records).toFixed(0);
  yield {
    row: {
      what: `replay of ${seconds} s of the demonstration at its real pace, ${records} records: times real time, on a core of its own, median of ${replayed.length}`,
      wanted: `at least ${REAL_TIME_MIN}`,
      found: `${times.toFixed(0)} (${us(replayed)} µs a record)`,
      reached: isSmall || times >= REAL_TIME_MIN,
    },
    ratios: { replayToRealTime: times },
    values: { records, seconds, parsedMs: parsed, replayedMs: replayed },
  };
  yield {
    row: {
      what: '… merely reading the same journal, with every checksum looked at, as a share of that',
      wanted: 'told',
      found: `${share.toFixed(2)} (${us(parsed)} µs a record)`,
      reached: true,
    },
    ratios: { parseToReplay: share },
  };
};
