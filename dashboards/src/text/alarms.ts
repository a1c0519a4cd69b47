/** What is wrong with the boards and the rig file, badly enough to be said at the top of the page. */
import type { LinkChange, LiveBoard, RigRejectedEvent } from '../../../protocol/index.ts';
import { isUp } from './link-words.ts';
import { sentence } from './sentence.ts';

export interface Alarm {
  readonly key: string;
  readonly title: string;
  readonly text: string;
  /** ns of the session, where it began at a known time. */
  readonly sinceNs?: number;
}

export function alarmsOf(boards: Readonly<Record<string, LiveBoard>>): readonly Alarm[] {
  return Object.entries(boards).flatMap(([name, board]) => [
    ...linkAlarm(name, board),
    ...edgesAlarm(name, board),
    ...identityAlarm(name, board),
  ]);
}

function linkAlarm(name: string, { link }: LiveBoard): readonly Alarm[] {
  if (!link || isUp(link.change)) return [];
  const cause = link.detail === '' ? '' : `${sentence(link.detail)} `;
  const text = `${cause}Its readings are old; the host keeps trying${link.path === '' ? '' : ` ${link.path}`}.`;
  return [{ key: `link ${name}`, title: LINK_TITLES[link.change]?.(name) ?? `${name} is not connected.`, text, sinceNs: link.atNs }];
}

const LINK_TITLES: Partial<Record<LinkChange, (name: string) => string>> = {
  silent: (name) => `${name} is silent.`,
  lost: (name) => `Link to ${name} lost.`,
  'wrong-device': (name) => `Another device answers as ${name}.`,
};

function edgesAlarm(name: string, { wire }: LiveBoard): readonly Alarm[] {
  const lost = wire?.counters.edgesLost ?? 0;
  if (lost === 0) return [];
  return [
    {
      key: `edges ${name}`,
      title: `${lost} ${lost === 1 ? 'edge' : 'edges'} lost on ${name}.`,
      text: 'The board saw more than it could keep; they are gone for good.',
    },
  ];
}

function identityAlarm(name: string, { board }: LiveBoard): readonly Alarm[] {
  return board && board.problem !== '' ? [{ key: `identity ${name}`, title: `${name}:`, text: board.problem }] : [];
}

/** The problems themselves may be many: they stand in a list of their own. @param told  undefined while the rig file is taken */
export function rigAlarm(told: RigRejectedEvent | undefined): readonly Alarm[] {
  if (!told) return [];
  const count = told.problems.length;
  const text = `It has ${count} ${count === 1 ? 'problem' : 'problems'}, listed below. What it changes is not in force.`;
  return [{ key: 'rig file', title: 'Rig file not taken.', text, sinceNs: told.atNs }];
}
