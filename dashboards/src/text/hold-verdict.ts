import type { HoldPointsEvent } from '../../../protocol/index.ts';

export interface Verdict {
  readonly isReady: boolean;
  readonly words: string;
}

export interface HoldSituation {
  readonly told: HoldPointsEvent | undefined;
  /** Hold points that the rig file names. */
  readonly namedCount: number;
  /** The host is heard now: what it said a while ago may no longer be so. */
  readonly isHeard: boolean;
}

/** READY only on the host's fresh word. @returns undefined where there is nothing to hold */
export function verdictOf({ told, namedCount, isHeard }: HoldSituation): Verdict | undefined {
  if (!told) return namedCount === 0 ? undefined : { isReady: false, words: 'Nothing has been said of the hold points yet.' };
  if (!isHeard) return { isReady: false, words: 'The host is not heard: what is listed may no longer be so.' };
  const missing = told.points.filter(({ done }) => !done);
  if (told.ready && missing.length === 0) return { isReady: true, words: `All ${told.points.length} hold points are done.` };
  if (missing.length === 0) return { isReady: false, words: 'The host does not say that all is done.' };
  return { isReady: false, words: `Missing: ${missing.map(({ name }) => name).join('; ')}.` };
}
