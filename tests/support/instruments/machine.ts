/** What this process holds: memory after a collection, and what is open in it. */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

setFlagsFromString('--expose_gc');
const collect = runInNewContext('gc') as () => void;

export interface Held {
  /** After a collection: the heap, and what lies outside of it in buffers. */
  readonly memoryBytes: number;
  readonly residentBytes: number;
  readonly timers: number;
  /** Whatever keeps the process alive but timers: ports, sockets, watches. */
  readonly handles: number;
  /** Of the process itself. */
  readonly listeners: number;
}

export function held(): Held {
  collect();
  collect();
  const { heapUsed, external, rss } = process.memoryUsage();
  const open = process.getActiveResourcesInfo();
  const timers = open.filter((kind) => kind === 'Timeout').length;
  const listeners = process.eventNames().reduce((sum, name) => sum + process.listenerCount(name), 0);
  return { memoryBytes: heapUsed + external, residentBytes: rss, timers, handles: open.length - timers, listeners };
}

/** Of several looks the least of each: what comes and goes, as a question under way, is not there in every one. */
export async function leastHeld(looks = 10, everyMs = 50): Promise<Held> {
  let least = held();
  for (let i = 1; i < looks; i += 1) {
    await new Promise<void>((resolve) => setTimeout(resolve, everyMs));
    const next = held();
    const smaller = (key: keyof Held): number => Math.min(least[key], next[key]);
    least = {
      memoryBytes: smaller('memoryBytes'),
      residentBytes: smaller('residentBytes'),
      timers: smaller('timers'),
      handles: smaller('handles'),
      listeners: smaller('listeners'),
    };
  }
  return least;
}
