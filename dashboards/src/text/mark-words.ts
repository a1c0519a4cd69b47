/** The rows of a session's time line, and what they are called. */
import type { ReplayMarkKind } from '../../../protocol/index.ts';

export type LaneKind = ReplayMarkKind | 'shot';

export interface Lane {
  readonly kind: LaneKind;
  /** Of the row. */
  readonly name: string;
  /** Of one mark in it. */
  readonly one: string;
}

export const LANES: readonly Lane[] = [
  { kind: 'shot', name: 'Shots', one: 'Shot' },
  { kind: 'alarm', name: 'Alarms', one: 'Alarm' },
  { kind: 'hold', name: 'Hold points', one: 'Hold point' },
  { kind: 'note', name: 'Notes', one: 'Note' },
  { kind: 'crew', name: 'Crew', one: 'Crew' },
  { kind: 'link', name: 'Links', one: 'Link' },
  { kind: 'instrument', name: 'Instruments', one: 'Instrument' },
];
