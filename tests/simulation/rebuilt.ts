/** What the journals on the simulated disk say, read by the real reader and folded by the real pipeline. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type JournalDamage, readJournal } from '../../host/journal/index.ts';
import { finish, INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import type { PipelineEvent, PosternRecord, Shot } from '../../protocol/index.ts';
import type { SimulatedDisk } from './disk.ts';

export interface Rebuilt {
  readonly records: readonly PosternRecord[];
  readonly damage: readonly JournalDamage[];
  readonly events: readonly PipelineEvent[];
  /** Of those, the ones before the journal's end closed what was open. */
  readonly eventsBeforeEnd: number;
  /** As they were closed last. */
  readonly shots: readonly Shot[];
}

export function rebuild(disk: SimulatedDisk, sessionId: string): Rebuilt {
  const records: PosternRecord[] = [];
  const damage: JournalDamage[] = [];
  for (const item of read(disk, sessionId)) {
    if ('record' in item) records.push(item.record);
    else damage.push(item.damage);
  }
  const events: PipelineEvent[] = [];
  let state = INITIAL_STATE;
  let newestNs = 0;
  for (const record of records) {
    newestNs = Math.max(newestNs, record.atNs);
    const [next, told] = step(state, record);
    state = next;
    events.push(...told);
  }
  const eventsBeforeEnd = events.length;
  events.push(...finish(state, newestNs)[1]);
  const shots = new Map(
    events.flatMap((event) => (event.type === 'shot' && event.phase === 'closed' ? [[event.shot.id, event.shot]] : [])),
  );
  return { records, damage, events, eventsBeforeEnd, shots: [...shots.values()] };
}

function* read(disk: SimulatedDisk, sessionId: string): ReturnType<typeof readJournal> {
  const folder = mkdtempSync(join(tmpdir(), 'postern-simulated-'));
  try {
    const parts = disk.names.filter((name) => name.startsWith(`${sessionId}.`));
    for (const name of parts) writeFileSync(join(folder, name), disk.content(name));
    if (parts[0] !== undefined) yield* readJournal(join(folder, parts[0]));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
