/** A session of the virtual range written as a journal, as the host writes one, of any length. */
import { rigFileText } from '../../firmware-sim/rig-file.ts';
import { JournalWriter } from '../../host/journal/index.ts';
import type { PipelineEvent } from '../../protocol/index.ts';
import { ORIGIN_UTC_MS, runVirtualRange, type VirtualOptions, type VirtualRun } from './virtual-range.ts';

/** As the demonstration has it at the pace of a real day. */
export const HERON_AT_REAL_PACE = rigFileText({ pace: 'real', faults: [], todayMs: ORIGIN_UTC_MS });

export interface WrittenSession {
  readonly shots: VirtualRun['shots'];
  readonly records: number;
}

/** @param onEvents  told what the pipeline said of each record as it was taken */
export async function writeVirtualJournal(
  path: string,
  options: Omit<VirtualOptions, 'onTaken'>,
  onEvents: (events: readonly PipelineEvent[]) => void = () => undefined,
): Promise<WrittenSession> {
  const head = { sessionId: 'virtual', originUtcNs: BigInt(ORIGIN_UTC_MS) * 1_000_000n, softwareVersion: 'test' };
  const journal = JournalWriter.create(path, head);
  let records = 0;
  try {
    const { shots } = runVirtualRange({
      ...options,
      onTaken: (record, events) => {
        journal.append(record);
        records += 1;
        onEvents(events);
      },
    });
    return { shots, records };
  } finally {
    await journal.close();
  }
}
