/** Works out maps in a thread of its own: a fit takes as long as thousands of samples. */
import { parentPort } from 'node:worker_threads';
import { dragCurves } from '../../analysis/drag/index.ts';
import { type MapBook, mapBook } from '../../analysis/next-shot/index.ts';
import { messageOf } from '../output.ts';
import type { MapTask, MapTaskDone } from './map-tasks.ts';

let book: MapBook = mapBook([], []);

const work = (task: MapTask): unknown => {
  switch (task.do) {
    case 'drag':
      return dragCurves(task.shots);
    case 'make':
      book = mapBook(task.shots, task.sessions);
      return book.report;
    case 'expected':
      return book.expected(task.asked);
    case 'fill':
      return book.fillFor(task.asked);
  }
};

parentPort?.on('message', (task: MapTask) => {
  let done: MapTaskDone;
  try {
    done = { id: task.id, ok: true, answer: work(task) };
  } catch (error) {
    done = { id: task.id, ok: false, message: messageOf(error) };
  }
  parentPort?.postMessage(done);
});
