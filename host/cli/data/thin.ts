/** `postern thin`: takes samples of old sessions out of the store, and never touches a journal. Says what it would do until it is told to. */
import { statSync } from 'node:fs';
import { type Keep, Store, type ThinningPlan } from '../../store/index.ts';
import { CommandError, say, warn } from '../output.ts';
import { exists, openDataFolder } from './data-folder.ts';
import { FolderHold } from './folder-hold.ts';

export interface ThinOptions {
  readonly data: string;
  /** Days. */
  readonly olderThan: number;
  readonly keep: Keep;
  readonly yes: boolean;
}

const DAY_MS = 86_400_000;

const KEPT: Readonly<Record<Keep, string>> = {
  tenths: 'Shots, events and all summaries stay',
  seconds: 'Shots, events and the summaries of each second, ten seconds and minute stay',
  minutes: 'Shots, events and the summaries of each minute stay',
  shots: 'Shots and events stay',
};

export async function thin({ data, olderThan, keep, yes }: ThinOptions): Promise<void> {
  const folder = openDataFolder(data);
  if (!exists(folder.store)) throw new CommandError(`There is no store in ${data}; there is nothing to thin.`);
  const before = new Date(Date.now() - olderThan * DAY_MS).toISOString();
  // No host runs on the folder, and none can be started on it meanwhile.
  const hold = await FolderHold.take(folder);
  try {
    const store = await Store.open(folder.store, { onProblem: ({ message }) => warn(message) });
    try {
      const plan = await store.planThinning(before, keep);
      if (plan.sessions.length === 0)
        return say(`No session that was opened before ${before} has anything to take out; the store is as it was.`);
      for (const line of planLines(plan)) say(line);
      if (!yes) return say('Nothing was done: give --yes to do it.');
      const bytes = statSync(folder.store).size;
      await store.thin(plan);
      say(
        `Done. The store has ${megabytes(statSync(folder.store).size)}, before ${megabytes(bytes)}; free room in it is used again by what comes next.`,
      );
    } finally {
      await store.close();
    }
  } finally {
    await hold.release();
  }
}

function planLines({ sessions, openedFrom, openedTo, samples, summaries, keep }: ThinningPlan): readonly string[] {
  const whole = (n: number): string => n.toLocaleString('en-GB');
  const which =
    sessions.length === 1
      ? `session ${sessions[0]}, opened ${openedFrom}`
      : `${sessions.length} sessions, opened from ${openedFrom} to ${openedTo}`;
  return [
    `Of ${which}: ${whole(samples)} samples and ${whole(summaries)} summaries go from the store.`,
    `${KEPT[keep]}; the journals are not touched, and "postern rebuild" brings everything back from them.`,
  ];
}

const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`;
