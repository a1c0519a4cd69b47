/** The journal against what was handed to it, and the store and pages against the journal. */
import type { PipelineEvent, PosternRecord } from '../../protocol/index.ts';
import type { HostLife } from './host-life.ts';
import type { Rebuilt } from './rebuilt.ts';
import { SimulatedStore } from './store.ts';

/** @returns what is wrong with this life's journal */
export function checkRecords(life: HostLife, { records, damage, events, eventsBeforeEnd }: Rebuilt): readonly string[] {
  const wrong: string[] = [];
  const matched = matchedCount(life.records, records);
  if (matched < records.length) wrong.push(`record ${matched} of the journal was never handed to it`);
  if (!safeAreThere(life, records)) wrong.push(`a record is missing that was said to be safe (${life.recordsSafe} were)`);
  const wasWhole = life.problem === undefined && life.recordsLost === 0;
  // The one in hand when the process was killed may be on the disk or not.
  const expected = life.records.length - (life.inWrite ? 1 : 0);
  if (!life.lostPower && wasWhole && records.length < expected)
    wrong.push(`the journal has ${records.length} of ${life.records.length} records though the disk took all`);
  if (life.ended === 'in order' && wasWhole && life.closeFailure === undefined && damage.length > 0)
    wrong.push('a journal that was closed in order reads as damaged');
  if (life.ended === 'in order' && !wasWhole && life.closeFailure === undefined)
    wrong.push('the end of a journal with lost records was called a success');
  if (records.length >= expected && wasWhole) wrong.push(...checkEvents(life, events, eventsBeforeEnd));
  return wrong;
}

/** In order, how many of the journal's records are among those handed to it. */
function matchedCount(handed: readonly PosternRecord[], found: readonly PosternRecord[]): number {
  let at = 0;
  for (const [count, record] of found.entries()) {
    const text = textOf(record);
    while (at < handed.length && !isSame(handed[at] as PosternRecord, record, text)) at += 1;
    if (at === handed.length) return count;
    at += 1;
  }
  return found.length;
}

/** Every one of those that were safe, and not only as many. */
function safeAreThere(life: HostLife, found: readonly PosternRecord[]): boolean {
  return matchedCount(found, life.records.slice(0, life.recordsSafe)) === life.recordsSafe;
}

function isSame(a: PosternRecord, b: PosternRecord, textOfB: string): boolean {
  return a.kind === b.kind && a.atNs === b.atNs && a.source === b.source && textOf(a) === textOfB;
}

const textOf = (record: PosternRecord): string =>
  record.kind === 'line' ? Buffer.from(record.bytes).toString('latin1') : JSON.stringify(record.value);

/** The same records give the same events, to the byte. */
function checkEvents(life: HostLife, events: readonly PipelineEvent[], beforeEnd: number): readonly string[] {
  const inOrder = life.ended === 'in order';
  if (inOrder && events.length !== life.events.length)
    return [`${life.events.length} events left the host, a rebuild gives ${events.length}`];
  if (life.events.length > (inOrder ? events.length : beforeEnd)) return ['events left the host that its journal does not give'];
  const differing = life.events.findIndex((event, i) => JSON.stringify(event) !== JSON.stringify(events[i]));
  return differing < 0 ? [] : [`event ${differing} (${life.events[differing]?.type}) of a rebuild is not the one that left the host`];
}

/** @param store  as the host has written it */
export function checkStore(life: HostLife, store: SimulatedStore, rebuilt: Rebuilt): readonly string[] {
  const anew = new SimulatedStore();
  anew.apply(life.sessionId, rebuilt.events);
  anew.flush();
  if (life.ended === 'in order' && life.closeFailure === undefined) {
    const [stored, expected] = [store.rowsOf(life.sessionId), anew.rowsOf(life.sessionId)];
    const differing = expected.findIndex((row, i) => row !== stored[i]);
    if (differing < 0 && stored.length === expected.length) return [];
    return [
      `the store has ${stored.length} rows and a rebuild ${expected.length}; the first that differs is ${expected[differing]?.slice(0, 100)}`,
    ];
  }
  const known = new Set(anew.shotIds(life.sessionId));
  const isExcused = life.lostPower || life.recordsLost > 0 || life.problem !== undefined || life.closeFailure !== undefined;
  return isExcused || store.shotIds(life.sessionId).every((id) => known.has(id))
    ? []
    : ['the store has a shot that a rebuild does not give'];
}
