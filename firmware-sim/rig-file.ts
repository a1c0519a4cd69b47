/** The rig file that fits a simulated range: heron.yaml, with what depends on the day and on the pace put right. */
import { readFileSync } from 'node:fs';
import { withFlashableBoard } from './avr/rig-variant.ts';
import type { BoardKind } from './board-kinds.ts';
import type { FaultName } from './faults.ts';
import { PACE_FACTOR, type Pace } from './world/procedure.ts';

export const HERON_FILE = new URL('./heron.yaml', import.meta.url);

export interface RigFileOptions {
  readonly pace: Pace;
  readonly faults: readonly FaultName[];
  /** The simulated one where left out. */
  readonly board?: BoardKind;
  /** The day that the range is used on, ms since 1970. */
  readonly todayMs: number;
}

const DAY_MS = 86_400_000;

/** Calibrations are as old as they would be some months after the file was written; at a fast pace a fill may be as fast. */
export function rigFileText({ pace, faults, board, todayMs }: RigFileOptions, heron = readFileSync(HERON_FILE, 'utf8')): string {
  const text = board === 'avr' ? withFlashableBoard(heron) : heron;
  const years = yearsSince(text, todayMs);
  const dated = text.replaceAll(
    /(calibratedOn|calibrationDue): (\d{4})(-\d\d-\d\d)/g,
    (_, key: string, year: string, rest: string) => `${key}: ${Number(year) + years}${rest}`,
  );
  const paced = dated.replace(/(rateMaximum: )([\d.]+)/, (_, key: string, rate: string) => `${key}${Number(rate) * PACE_FACTOR[pace]}`);
  if (!faults.includes('calibration-due')) return paced;
  // The first channel is the reservoir's transducer.
  const yesterday = (daysAgo: number): string => new Date(todayMs - daysAgo * DAY_MS).toISOString().slice(0, 10);
  return paced
    .replace(/calibratedOn: [\d-]+/, `calibratedOn: ${yesterday(366)}`)
    .replace(/calibrationDue: [\d-]+/, `calibrationDue: ${yesterday(1)}`);
}

/** Whole years to move the dates by, so that the newest calibration is at most a year old and not of tomorrow. */
function yearsSince(text: string, todayMs: number): number {
  const newestMs = Math.max(...[...text.matchAll(/calibratedOn: ([\d-]+)/g)].map(([, date = '']) => Date.parse(date)));
  return Math.floor((todayMs - newestMs) / (365.25 * DAY_MS));
}
