/** The simulated range at its real pace for hours of virtual time, through all of a host behind its ports: what memory it holds. */
import { held } from '../instruments/machine.ts';
import { HERON_AT_REAL_PACE } from '../virtual-journal.ts';
import { passVirtualRange, type TakerPorts } from '../virtual-range.ts';
import { VirtualHost } from './virtual-host.ts';

export interface MemoryLook {
  /** Of the session. */
  readonly atS: number;
  /** Heap and buffers, after a collection. */
  readonly memoryBytes: number;
  readonly residentBytes: number;
  readonly shots: number;
}

const SEED = 12;

/** @param looks  how many, evenly over the time */
export async function longSession(options: {
  readonly seconds: number;
  readonly looks: number;
  readonly folder: string;
}): Promise<readonly MemoryLook[]> {
  const { seconds, looks, folder } = options;
  let ports: TakerPorts | undefined;
  let shots = 0;
  const host = await VirtualHost.open(folder, {
    send: (source, message) => ports?.send(source, message),
    onEvents: (events) => {
      shots += events.filter((event) => event.type === 'shot' && event.phase === 'closed').length;
      ports?.onEvents(events);
    },
  });
  const through = (given: TakerPorts): VirtualHost => {
    ports = given;
    return host;
  };
  const range = passVirtualRange({ seed: SEED, shots: 10_000, pace: 'real', rigText: HERON_AT_REAL_PACE, untilS: seconds, through });
  const found: MemoryLook[] = [];
  for (let next = range.next(); !next.done; next = range.next()) {
    const atS = next.value;
    await host.pause(Math.round(atS * 1e9));
    if (atS < ((found.length + 1) * seconds) / looks) continue;
    const { memoryBytes, residentBytes } = held();
    found.push({ atS, memoryBytes, residentBytes, shots });
  }
  await host.close();
  return found;
}
