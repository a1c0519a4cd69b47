/** Link state and line faults in plain words. */
import type { BoardKind, LinkChange, WireCounters } from '../../../protocol/index.ts';

export const LINK_WORDS: Readonly<Record<LinkChange, string>> = {
  searching: 'Searching',
  opening: 'Opening',
  opened: 'Link up',
  running: 'Running',
  silent: 'SILENT',
  lost: 'LINK LOST',
  'wrong-device': 'WRONG DEVICE',
  closed: 'Closed',
};

export const LINK_MEANING: Readonly<Record<LinkChange, string>> = {
  searching: 'Nothing is where it should be; it is looked for.',
  opening: 'Its port is being opened.',
  opened: 'Its port is open; it has not been heard yet.',
  running: '',
  silent: 'Nothing comes from it; its port is opened anew, ever more slowly.',
  lost: 'Its port went away; it is opened again as soon as it is back.',
  'wrong-device': 'What answers is not what the rig file names.',
  closed: 'The host has ended the link.',
};

export const BOARD_KIND_WORDS: Readonly<Record<BoardKind, string>> = {
  'gate-board': 'Gate board.',
  firmata: 'Firmata board.',
  text: 'Text instrument.',
};

/** Its port is open, and nothing is known to be wrong with what is there. Old journals say no more than `opened`. */
export const isUp = (change: LinkChange | undefined): boolean => change === 'opened' || change === 'running';

const FAULT_WORDS: Readonly<Record<keyof WireCounters['faults'], string>> = {
  'line-too-long': 'line too long',
  'not-ascii': 'not readable text',
  'no-crc': 'no checksum',
  'crc-mismatch': 'checksum wrong',
  malformed: 'malformed frame',
  'unknown-kind': 'unknown kind of frame',
  'bad-field': 'field out of bounds',
};

/** @returns one entry for each kind of fault met, such as `checksum wrong: 2` */
export function faultTexts(faults: WireCounters['faults']): readonly string[] {
  return (Object.keys(FAULT_WORDS) as (keyof WireCounters['faults'])[]).flatMap((code) => {
    const count = faults[code] ?? 0;
    return count > 0 ? [`${FAULT_WORDS[code]}: ${count}`] : [];
  });
}

export function faultWords(code: keyof WireCounters['faults']): string {
  return FAULT_WORDS[code];
}
