/** What can be asked of the server of time series: the command line implements it, where a server is named. */
import type { Fleet, SeriesState } from '../../protocol/index.ts';

export interface SeriesDesk {
  /** undefined where nothing is sent. */
  state(): SeriesState | undefined;
  /** @throws (rejects) where the server does not answer; the message is one sentence's middle */
  fleet(question: { readonly days: number; readonly shots: number }): Promise<Fleet>;
}
