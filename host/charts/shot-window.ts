import type { Shot } from '../../protocol/index.ts';

const BEFORE_MS = 5;
const AFTER_LAST_MS = 8;
const WITHOUT_PASSAGE_MS = 60;

/** What part of the time around the firing is drawn, ms since the firing: from just before it to past the last gate. */
export function shotWindowMs(shot: Pick<Shot, 'passages'>): readonly [number, number] {
  const lastMs = Math.max(...shot.passages.map((passage) => passage.timeS * 1000));
  return [-BEFORE_MS, Number.isFinite(lastMs) ? lastMs + AFTER_LAST_MS : WITHOUT_PASSAGE_MS];
}
