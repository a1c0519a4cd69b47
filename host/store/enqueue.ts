/** What is kept of events: sessions, closed shots which are left out and what cameras have of them, notes, link changes, and the slow stream's samples as summaries a second. */
import type { PipelineEvent } from '../../protocol/index.ts';
import { cameraRow } from './cameras.ts';
import { exclusionRow, linkRow, noteRow, secondRows, sessionRow, shotRow } from './rows.ts';
import type { WriteQueue } from './write-queue.ts';

export function enqueue(queue: WriteQueue, sessionId: string, events: readonly PipelineEvent[]): void {
  for (const event of events) {
    if (event.type === 'session') queue.addSession(sessionRow(event));
    else if (event.type === 'shot' && event.phase === 'closed') queue.addShot(shotRow(event.shot));
    else if (event.type === 'shot-excluded') queue.addExclusion(exclusionRow(sessionId, event));
    else if (event.type === 'shot-camera') queue.addCamera(cameraRow(sessionId, event));
    else if (event.type === 'note') queue.addNote(noteRow(sessionId, event));
    else if (event.type === 'link') queue.addLink(linkRow(sessionId, event));
    // A burst covers the same time again and would count it twice.
    else if (event.type === 'samples' && event.stream === 'slow') {
      for (const row of secondRows(sessionId, event)) queue.addSecond(row);
    }
  }
}
