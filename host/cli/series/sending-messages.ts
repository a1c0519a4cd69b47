/** What the host and its sender say to each other; the secret goes this way and by no command line. */
import type { SeriesState } from '../../../protocol/index.ts';
import type { SeriesServer } from '../../series/index.ts';

export type ToSender =
  | {
      readonly what: 'start';
      readonly server: SeriesServer;
      readonly root: string;
      readonly journals: string;
      readonly sessionId: string;
    }
  /** The journal is whole; send the rest of it and end. */
  | { readonly what: 'over' };

export interface FromSender {
  readonly state: SeriesState;
}
