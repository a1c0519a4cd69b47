/** The thread that makes maps, and the questions on their way to it. */
import { Worker } from 'node:worker_threads';
import { MapBusyError } from '../../serve/index.ts';
import { threadBeside } from '../program-beside.ts';
import type { MapTask, MapTaskDone, MapWork } from './map-tasks.ts';

/** At a time; further ones are refused. */
const WAITING_MAX = 200;
const MEMORY_MB_MAX = 256;
interface Waiting {
  readonly resolve: (answer: unknown) => void;
  readonly reject: (error: Error) => void;
}

export class MapThread {
  #worker: Worker | undefined;
  readonly #waiting = new Map<number, Waiting>();
  #count = 0;
  #isClosed = false;

  /** @throws (rejects) MapBusyError where too many wait; Error where the thread fails, which the next question starts anew */
  ask(work: MapWork): Promise<unknown> {
    if (this.#isClosed || this.#waiting.size >= WAITING_MAX) return Promise.reject(new MapBusyError('the map is not asked any more'));
    this.#count += 1;
    const task: MapTask = { ...work, id: this.#count };
    return new Promise((resolve, reject) => {
      this.#waiting.set(task.id, { resolve, reject });
      this.#running().postMessage(task);
    });
  }

  /** Whether what it was told before is still known to it. */
  get isRunning(): boolean {
    return this.#worker !== undefined;
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    const worker = this.#worker;
    this.#failAll(new MapBusyError('the session has ended'));
    await worker?.terminate();
  }

  #running(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(threadBeside('./map-worker', import.meta.url), {
      execArgv: [],
      resourceLimits: { maxOldGenerationSizeMb: MEMORY_MB_MAX },
    });
    worker.unref();
    worker.on('message', (done: MapTaskDone) => {
      const waiting = this.#waiting.get(done.id);
      this.#waiting.delete(done.id);
      if (done.ok) waiting?.resolve(done.answer);
      else waiting?.reject(new Error(done.message));
    });
    const gone = (why: string) => {
      if (this.#worker === worker) this.#failAll(new Error(why));
    };
    worker.on('error', (error) => gone(`the map could not be made: ${error.message}`));
    worker.on('exit', () => gone('the thread that makes maps has ended'));
    this.#worker = worker;
    return worker;
  }

  #failAll(error: Error): void {
    this.#worker = undefined;
    const waiting = [...this.#waiting.values()];
    this.#waiting.clear();
    for (const { reject } of waiting) reject(error);
  }
}
