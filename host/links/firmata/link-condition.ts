/** What a Firmata link can be in, and how that is told. The only place to touch where links learn to tell more states. */
import type { LinkChange } from '../../../protocol/index.ts';

export type LinkCondition =
  | 'searching'
  /** The port opens; nothing there answers as Firmata does. */
  | 'no-answer'
  | 'wrong-device'
  | 'running'
  /** Was running; nothing has come for too long. */
  | 'silent'
  | 'lost'
  | 'closed';

export const CHANGE_OF: Readonly<Record<LinkCondition, LinkChange>> = {
  searching: 'opening',
  'no-answer': 'opening',
  'wrong-device': 'opening',
  running: 'opened',
  silent: 'lost',
  lost: 'lost',
  closed: 'closed',
};
