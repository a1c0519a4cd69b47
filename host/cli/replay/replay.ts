/** `postern replay JOURNAL`: the same pipeline over a recorded session, with the live page or without. */
import { basename } from 'node:path';
import type { ReplaySpeed } from '../../../protocol/index.ts';
import { exists } from '../data/data-folder.ts';
import { journalRecords } from '../data/journal-records.ts';
import { CommandError, say, writeJson } from '../output.ts';
import { openRigFile } from '../rig/rig-file.ts';
import type { ListenOptions } from '../serving/listening.ts';
import { ClosedShots } from '../shots/closed-shots.ts';
import { sessionJson } from '../shots/shot-json.ts';
import { type Begin, foundIn, LinesFrom } from './lines-from.ts';
import { replayOnPage } from './on-page.ts';
import { type CorrectedRig, type FoldStep, foldEnd, foldRecord, NOTHING_FOLDED } from './recorded-fold.ts';
import { RecordedShots } from './recorded-shots.ts';
import type { Replayed } from './replayed.ts';
import { compareRigs, comparisonJson, comparisonLines } from './rig-comparison.ts';

export interface ReplayOptions extends ListenOptions {
  /** Times real time, or as fast as it goes. */
  readonly pace: ReplaySpeed;
  /** Serve the page at `max` too. */
  readonly page?: boolean;
  /** Where to begin, ns of the session. */
  readonly from?: number;
  /** …or the shot to begin before: its number, or its id. */
  readonly shot?: string;
  /** With the page: end by itself where the journal ends. */
  readonly exit: boolean;
  /** Another rig file to reduce under. */
  readonly rig?: string;
  readonly json?: string | true;
}

export async function replay(journal: string, options: ReplayOptions): Promise<void> {
  if (!exists(journal)) throw new CommandError(`There is no journal ${journal}; they lie in the data folder under journals/.`, 2);
  if (options.from !== undefined && options.shot !== undefined) {
    throw new CommandError('Give --from or --shot, not both: each says where to begin.', 2);
  }
  const corrected =
    options.rig === undefined ? undefined : { text: (await openRigFile(options.rig)).text, fileName: basename(options.rig) };
  const quiet = options.json === true;
  const isOnPage = options.pace !== 'max' || options.page === true;
  const replayed = isOnPage
    ? await replayOnPage(journal, { ...options, corrected, begin: options, quiet })
    : straightThrough(journal, corrected, options, quiet);
  if (replayed.sessionId === '') throw new CommandError(`${journal} holds no session: no rig file was found in it.`);
  tell(replayed, corrected, options);
}

function tell({ sessionId, shots, recorded }: Replayed, corrected: CorrectedRig | undefined, { json }: ReplayOptions): void {
  const session = sessionJson(sessionId, shots);
  if (!corrected || !recorded) {
    if (json !== undefined) writeJson(json, session);
  } else {
    const comparison = compareRigs(sessionId, { rigFile: recorded.rigFile, shots: recorded.all }, { rigFile: corrected.fileName, shots });
    if (json !== undefined) writeJson(json, { ...session, ...comparisonJson(comparison, recorded.all) });
    if (json !== true) for (const line of ['', ...comparisonLines(comparison), '']) say(line);
  }
  if (json !== true) say(`Session ${sessionId}, shots: ${shots.length}.`);
}

/** As fast as it goes, with no page. What lies before the beginning is worked through all the same, and not told. */
function straightThrough(journal: string, corrected: CorrectedRig | undefined, begin: Begin, quiet: boolean): Replayed {
  const shots = new ClosedShots();
  const recorded = corrected ? new RecordedShots() : undefined;
  const lines = quiet ? undefined : new LinesFrom(begin);
  let fold = NOTHING_FOLDED;
  const take = ([next, events]: FoldStep): void => {
    fold = next;
    for (const event of events) {
      shots.take(event);
      lines?.take(event);
    }
  };
  for (const record of journalRecords(journal)) {
    recorded?.take(record);
    take(foldRecord(fold, record, corrected));
  }
  recorded?.finish();
  take(foldEnd(fold));
  const { sessionId } = fold.pipeline;
  if (begin.shot !== undefined && sessionId !== '') foundIn(begin.shot, sessionId, shots.all);
  return { sessionId, shots: shots.all, recorded };
}
