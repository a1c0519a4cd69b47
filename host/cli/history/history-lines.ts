import type { StoredAct } from '../../../protocol/index.ts';
import { columns } from '../text/columns.ts';
import { actWords, whoOf } from './act-words.ts';
import { eventWho, eventWords } from './event-words.ts';
import type { ShotHistory } from './shot-history.ts';

/** @param later  what later sessions did to it, oldest first */
export function historyLines(history: ShotHistory, later: readonly StoredAct[] = []): readonly string[] {
  const { shot, journal, rigFileRecord, softwareVersion, lastRecordBeforeFiring, edges, edits, damages } = history;
  const recordOf = (number: number | undefined): string => (number === undefined ? 'not found' : `record ${number}`);
  return [
    `Shot ${shot}, from the journal ${journal}`,
    '',
    `Rig file: ${recordOf(rigFileRecord)}, told by version ${softwareVersion || 'unknown'}`,
    `Pressures and air: latched from the records up to ${lastRecordBeforeFiring ?? 'an unknown one'}`,
    ...(damages > 0 ? [`Of the journal, ${damages} stretches cannot be read; what they held is not told here.`] : []),
    '',
    ...columns(
      ['Edge', 'Way', 'Board ticks', 'Record'],
      edges.map(({ gate, active, ticks, record }) => [gate, active ? 'blocked' : 'cleared', String(ticks), String(record)]),
    ),
    '',
    ...(edits.length === 0
      ? ['Nothing was done to it.']
      : columns(
          ['When (UTC)', 'Who', 'What', 'Record'],
          edits.map(({ at, atNs, act, record }) => [
            at === '' ? `${(atNs / 1e9).toFixed(3)} s` : at.slice(0, 23).replace('T', ' '),
            whoOf(act),
            actWords(act),
            String(record),
          ]),
        )),
    ...(later.length === 0
      ? []
      : [
          '',
          ...columns(
            ['When (UTC)', 'Who', 'What, in a later session', 'Session'],
            later.map(({ session, at, event }) => [at.slice(0, 23).replace('T', ' '), eventWho(event), eventWords(event), session]),
          ),
        ]),
    '',
    'Nothing in a journal is ever changed: an earlier value is in the records before. An act that the host refused stands here too.',
  ];
}
