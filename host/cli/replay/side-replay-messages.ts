/** What a host and the process that replays beside it say to each other; the tokens go this way and by no command line. */
import type { Listening } from '../serving/listening.ts';

export interface ToSideReplay {
  readonly journal: string;
  readonly listening: Listening;
}

export type FromSideReplay = { readonly port: number } | { readonly why: string };
