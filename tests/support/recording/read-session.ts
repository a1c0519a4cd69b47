/** A journal that a killed host left: what it holds, and what the pipeline makes of it. */
import { readJournal } from '../../../host/journal/index.ts';
import { finish, INITIAL_STATE, step } from '../../../host/pipeline/index.ts';
import type { PipelineEvent, Shot } from '../../../protocol/index.ts';

export interface ReadSession {
  /** Raw lines of the gate board. */
  readonly lines: ReadonlySet<string>;
  /** Each as JSON. */
  readonly events: ReadonlySet<string>;
  /** As they were closed last. */
  readonly shots: readonly Shot[];
  readonly records: number;
  readonly hasRig: boolean;
  /** Damage other than a torn tail. */
  readonly damages: number;
}

export function readSession(journal: string, board: string): ReadSession {
  const lines = new Set<string>();
  const events = new Set<string>();
  const shots = new Map<string, Shot>();
  let state = INITIAL_STATE;
  let newestNs = 0;
  let records = 0;
  let damages = 0;
  const tell = (told: readonly PipelineEvent[]): void => {
    for (const event of told) {
      if (event.type !== 'samples' && event.type !== 'request') events.add(JSON.stringify(event));
      if (event.type === 'shot' && event.phase === 'closed') shots.set(event.shot.id, event.shot);
    }
  };
  for (const item of readJournal(journal)) {
    if ('damage' in item) {
      if (!item.damage.atEnd) damages += 1;
      continue;
    }
    const { record } = item;
    records += 1;
    newestNs = Math.max(newestNs, record.atNs);
    if (record.kind === 'line' && record.source === board) lines.add(Buffer.from(record.bytes).toString('latin1'));
    const [next, told] = step(state, record);
    state = next;
    tell(told);
  }
  const [last, told] = finish(state, newestNs);
  tell(told);
  return { lines, events, shots: [...shots.values()], records, hasRig: last.rig !== undefined, damages };
}
