/** `postern send JOURNAL…`: whole sessions to the server of time series, whether or not they were sent before. */

import { lineSender, lookAtServer, PickySender, placeText, tornWarnings } from '../../series/index.ts';
import { unreadable } from '../data/journal-records.ts';
import { CommandError, messageOf, say, warn } from '../output.ts';
import { StopSignal } from '../stop-signal.ts';
import { DELIVERY_PORTS, Lane } from './lane.ts';
import { targetOfJournal } from './target-of.ts';

export interface SendOptions {
  readonly rig?: string;
}

export async function send(journals: readonly string[], options: SendOptions): Promise<void> {
  const signal = new StopSignal();
  const stop = new AbortController();
  void signal.asked.then(() => stop.abort());
  let refused = 0;
  try {
    for (const journal of journals) refused += await sendOne(journal, options, stop.signal);
  } finally {
    signal.close();
  }
  if (refused > 0) throw new CommandError(`${refused} points were refused by the server; all others are there.`);
}

/** @returns how many points were refused */
async function sendOne(path: string, { rig }: SendOptions, stop: AbortSignal): Promise<number> {
  const server = await targetOfJournal(path, rig);
  const place = placeText(server);
  for (const warning of (await lookAtServer(server)).warnings) warn(warning);
  let lane: Lane | undefined;
  const sender = lineSender(server, {
    onConnectionLost: () => lane?.connectionLost(),
    onReset: () => {
      for (const warning of tornWarnings(server, Date.now())) warn(warning);
    },
  });
  const from = { taken: 0, settled: 0, ended: false };
  const sending = new Lane({ path, server, sender: new PickySender(sender), isOver: () => true, from });
  lane = sending;
  let told = '';
  const telling = setInterval(() => {
    const { problem } = sending.counts;
    if (problem !== '' && problem !== told) warn(`${place} takes nothing now: ${problem}; trying again until Ctrl-C.`);
    told = problem;
  }, 500);
  try {
    const isWhole = await sending.run(stop);
    const { taken, refused, refusals, problem } = sending.counts;
    if (!isWhole)
      throw new CommandError(
        `Stopped: ${path} is not all sent${problem === '' ? '' : ` (${problem})`}; sending it again does no harm.`,
        130,
      );
    await settled(sending, stop);
    const thinned = sending.thinned > 0 ? `, ${sending.thinned} samples left out that fall between milliseconds` : '';
    say(`${path}: ${taken} points to ${place}${thinned}.`);
    for (const { line, reason } of refusals) warn(`Refused (${reason}): ${line}`);
    return refused;
  } catch (error) {
    throw error instanceof Error && 'syscall' in error
      ? unreadable(path, error)
      : error instanceof CommandError
        ? error
        : new CommandError(messageOf(error));
  } finally {
    clearInterval(telling);
    sender.close();
  }
}

/** A server that ends just now would forget the last of it; it is sent again where it does. */
async function settled(lane: Lane, stop: AbortSignal): Promise<void> {
  while (!stop.aborted && !lane.position.ended) {
    await DELIVERY_PORTS.wait(250, stop);
    if (lane.isOwing) await lane.run(stop);
  }
}
