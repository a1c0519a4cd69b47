/** The simulated range at its real pace for hours of virtual time, through all of a host behind its ports: what memory it holds. */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
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
const PROCESS = fileURLToPath(new URL('./long-session-process.ts', import.meta.url));

export interface LongSessionAsked {
  readonly seconds: number;
  /** How many, evenly over the time. */
  readonly looks: number;
  readonly folder: string;
}

/** The same in a process of its own. */
export async function longSessionAlone(asked: LongSessionAsked): Promise<readonly MemoryLook[]> {
  const child = fork(PROCESS, { execArgv: ['--import', 'tsx'] });
  const ended = once(child, 'exit');
  try {
    child.send(asked);
    const [looks] = (await Promise.race([
      once(child, 'message'),
      ended.then(([code]) => Promise.reject(new Error(`the long session ended by ${String(code)}`))),
    ])) as [readonly MemoryLook[]];
    return looks;
  } finally {
    if (child.connected) child.disconnect();
    await ended;
  }
}

export async function longSession({ seconds, looks, folder }: LongSessionAsked): Promise<readonly MemoryLook[]> {
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
