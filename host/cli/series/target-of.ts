/** The server that a command is about: of the environment, of a rig file, or of a journal's own. */
import { loadRig } from '../../rig/index.ts';
import type { SeriesServer } from '../../series/index.ts';
import { journalRecords } from '../data/journal-records.ts';
import { CommandError } from '../output.ts';
import { openRigFile } from '../rig/rig-file.ts';
import { seriesServer } from './settings.ts';

const NONE =
  'No server of time series is named: give --rig with a rig file that has timeSeries, or set POSTERN_SERIES_KIND and POSTERN_SERIES_URL.';

/** @throws CommandError with exit code 2 where nothing names one */
export async function targetOf(rigFile: string | undefined): Promise<SeriesServer> {
  const rig = rigFile === undefined ? undefined : (await openRigFile(rigFile)).rig;
  const server = seriesServer(rig, rigFile);
  if (server === undefined) throw new CommandError(NONE, 2);
  return server;
}

/** As the session's own rig file has it, where neither the environment nor an option says otherwise. */
export async function targetOfJournal(journal: string, rigFile: string | undefined): Promise<SeriesServer> {
  if (rigFile !== undefined) return targetOf(rigFile);
  for (const record of journalRecords(journal, () => undefined)) {
    if (record.kind !== 'rig') continue;
    const load = loadRig(record.value.text, record.value.fileName);
    const server = seriesServer(load.ok ? load.rig : undefined, undefined);
    if (server !== undefined) return server;
    break;
  }
  return targetOf(undefined);
}
