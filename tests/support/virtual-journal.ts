/** A session of the virtual range as the host records one: through `Session`, its journal a real file, of any length. */
import { rigFileText } from '../../firmware-sim/rig-file.ts';
import { Session } from '../../host/cli/live/session.ts';
import { JournalWriter } from '../../host/journal/index.ts';
import type { PipelineEvent, Shot } from '../../protocol/index.ts';
import { ORIGIN_UTC_MS, runVirtualRange, type VirtualOptions } from './virtual-range.ts';

/** As the demonstration has it at the pace of a real day. */
export const HERON_AT_REAL_PACE = rigFileText({ pace: 'real', faults: [], todayMs: ORIGIN_UTC_MS });

export interface WrittenSession {
  readonly shots: readonly Shot[];
}

/** @param onEvents  told what the session said, its end included */
export async function writeVirtualJournal(
  path: string,
  options: Omit<VirtualOptions, 'through'>,
  onEvents: (events: readonly PipelineEvent[]) => void = () => undefined,
): Promise<WrittenSession> {
  const sessionId = options.sessionId ?? 'virtual';
  const head = { sessionId, originUtcNs: BigInt(ORIGIN_UTC_MS) * 1_000_000n, softwareVersion: 'test' };
  const journal = JournalWriter.create(path, head);
  let session: Session | undefined;
  const shots: Shot[] = [];
  runVirtualRange({
    ...options,
    through: ({ send, onEvents: heard }) => {
      session = new Session({
        journal: { append: (record) => journal.append(record), sync: () => AT_ONCE },
        send,
        onEvents: (events) => {
          heard(events);
          for (const event of events) if (event.type === 'shot' && event.phase === 'closed') shots.push(event.shot);
          onEvents(events);
        },
      });
      return session;
    },
  });
  session?.finish();
  await journal.close();
  return { shots };
}

/** Virtual time does not wait for a disk: what a sync is waited for goes on in the same instant. */
// biome-ignore lint/suspicious/noThenProperty: it has to be waited for as a promise is
const AT_ONCE = { then: (done: () => void) => done() } as unknown as Promise<void>;
