/** What is kept of events: sessions, closed shots, which are left out and what cameras have of them, the samples of all channels, and all that is news. */
import type { PipelineEvent } from '../../protocol/index.ts';
import { cameraRow } from './cameras.ts';
import { NewsReader } from './news.ts';
import { exclusionRow, sessionRow, shotRow } from './rows.ts';
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
      else if (event.type === 'shot-camera') queue.addCamera(cameraRow(sessionId, event));
      else if (event.type === 'samples') for (const window of this.#samples.take(sessionId, event)) queue.addWindow(window);
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
