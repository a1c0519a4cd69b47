/** What is kept of events: sessions, closed shots and which are left out, the samples of all channels, and all that is news. */
import type { PipelineEvent } from '../../protocol/index.ts';
import { NewsReader } from './news.ts';
import { exclusionRow, secondRows, sessionRow, shotRow } from './rows.ts';
import { SampleIntake } from './samples/sample-intake.ts';
import type { WriteQueue } from './write-queue.ts';

/** What is between an event and its row: samples that wait for their ten seconds to end, phases that were heard of. */
export class Intake {
  readonly #queue: WriteQueue;
  readonly #samples = new SampleIntake();
  readonly #news = new NewsReader();

  constructor(queue: WriteQueue) {
    this.#queue = queue;
  }

  take(sessionId: string, events: readonly PipelineEvent[]): void {
    const queue = this.#queue;
    for (const event of events) {
      if (event.type === 'session') queue.addSession(sessionRow(event));
      else if (event.type === 'shot' && event.phase === 'closed') queue.addShot(shotRow(event.shot));
      else if (event.type === 'shot-excluded') queue.addExclusion(exclusionRow(sessionId, event));
      else if (event.type === 'samples') {
        // A burst covers the same time again and would count it twice.
        if (event.stream === 'slow') for (const row of secondRows(sessionId, event)) queue.addSecond(row);
        for (const window of this.#samples.take(sessionId, event)) queue.addWindow(window);
      }
      const row = this.#news.row(sessionId, event);
      if (row) queue.addEvent(row);
    }
  }

  /** What runs is ended: the session is over, or somebody needs it now. */
  flush(): void {
    for (const window of this.#samples.flush()) this.#queue.addWindow(window);
  }

  forget(sessionId: string): void {
    this.#samples.forget(sessionId);
    this.#news.forget(sessionId);
  }
}
