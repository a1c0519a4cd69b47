/** `postern series`: is the server of time series there, is it set as it should be, and how far has this data folder been sent. */
import type { SeriesState } from '../../../protocol/index.ts';
import { lookAtServer, placeText } from '../../series/index.ts';
import { openDataFolder } from '../data/data-folder.ts';
import { seriesOfRunningHost } from '../data/running-host.ts';
import { say, writeJson } from '../output.ts';
import { positionPath, readPositions } from './position-file.ts';
import { targetOf } from './target-of.ts';

export interface StatusOptions {
  readonly rig?: string;
  readonly data: string;
  readonly json?: string | true;
}

/** @returns the exit code: 0 only where the server answers and nothing is amiss with it */
export async function seriesStatus({ rig, data, json }: StatusOptions): Promise<number> {
  const folder = openDataFolder(data);
  const server = await targetOf(rig);
  const place = placeText(server);
  const look = await lookAtServer(server);
  const running = (await seriesOfRunningHost(folder)) ?? undefined;
  const sessions = readPositions(positionPath(folder.root, place))?.sessions ?? {};
  const unfinished = Object.entries(sessions).filter(([, { ended }]) => !ended);
  const answer = { server: place, ...look, running, sessions };
  if (json !== undefined) writeJson(json, answer);
  else {
    say(look.problem === '' ? `${place} answers.` : `${place} does not answer: ${look.problem}.`);
    for (const warning of look.warnings) say(warning);
    if (running) for (const line of runningLines(running)) say(line);
    const done = Object.keys(sessions).length - unfinished.length;
    say(`Sessions of ${data} sent whole: ${done}; not yet, or not settled: ${unfinished.length}.`);
    for (const [session, { taken }] of unfinished.slice(0, 20)) say(`  ${session}: ${taken} records`);
  }
  return look.problem === '' && look.warnings.length === 0 ? 0 : 1;
}

export function runningLines(state: SeriesState): readonly string[] {
  const { state: what, pointsSent, pointsRefused, behindS, problem, refusals } = state;
  return [
    `The running session: ${what}, ${pointsSent} points sent, ${pointsRefused} refused, ${behindS.toFixed(1)} s behind.`,
    ...(problem === '' ? [] : [problem]),
    ...refusals.map(({ line, reason }) => `Refused (${reason}): ${line}`),
  ];
}
