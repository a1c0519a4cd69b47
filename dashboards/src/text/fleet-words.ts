import type { FleetState, SeriesState } from '../../../protocol/index.ts';

export const FLEET_WORDS: Readonly<Record<FleetState, string>> = { running: 'Running', silent: 'SILENT', ended: 'Session over' };

/** Behind by less is not worth a word: a batch is sent every quarter of a second. */
const BEHIND_S_MIN = 5;

/** One line on the sending to the server. */
export function seriesWords({ server, state, problem, behindS, sessionsWaiting, pointsRefused }: SeriesState): string {
  const words = [
    state === 'sending' ? `Sent to ${server}` : state === 'waiting' ? `NOT SENT to ${server} now` : `NOT SENT to ${server}`,
    ...(state === 'sending' && behindS >= BEHIND_S_MIN ? [`${Math.round(behindS)} s behind`] : []),
    ...(sessionsWaiting > 0 ? [`earlier sessions to send: ${sessionsWaiting}`] : []),
    ...(pointsRefused > 0 ? [`points refused: ${pointsRefused}`] : []),
  ];
  return `${words.join('; ')}.${problem === '' ? '' : ` ${problem}`}`;
}
