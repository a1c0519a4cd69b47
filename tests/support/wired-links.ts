/** Links on pseudo-terminals, with what they recorded; a listing of ports that the test decides. */
import { join } from 'node:path';
import type { PtyWire } from '../../firmware-sim/wires/pty.ts';
import { openPtyWire } from '../../firmware-sim/wires/pty.ts';
import { MonotonicClock } from '../../host/cli/live/session-clock.ts';
import { type DeviceKind, type LinkPorts, type ListedPort, PortBook } from '../../host/links/index.ts';
import { encodeMessage, type LinkChange, type PosternRecord } from '../../protocol/index.ts';
import { Arrivals } from './arrivals.ts';
import { scratchFolder } from './command.ts';

/** Fast against a person, slow against a pseudo-terminal. */
export const QUICK = {
  lookMs: 10,
  retryMs: [10, 40],
  proofMs: 600,
  wrongMs: 60,
  silenceMs: 1e6,
  steadyMs: 50,
  triesBeforeSearch: 1,
} as const;

export class WiredLinks {
  readonly records = new Arrivals<PosternRecord>();
  readonly clock = new MonotonicClock();
  listed: ListedPort[] = [];
  readonly book = new PortBook({ list: async () => this.listed });
  readonly ports: LinkPorts = { clock: this.clock, book: this.book, onRecord: (record) => this.records.add(record) };
  readonly #scratch = scratchFolder();
  readonly #closers: (() => Promise<void>)[] = [];

  path(name: string): string {
    return join(this.#scratch.path, name);
  }

  async wire(name: string): Promise<PtyWire> {
    const wire = await openPtyWire(this.path(name));
    this.#closers.push(() => wire.close());
    return wire;
  }

  started<L extends { start(): void; close(): Promise<void> }>(link: L): L {
    this.#closers.push(() => link.close());
    link.start();
    return link;
  }

  states(source: string): readonly { readonly change: LinkChange; readonly path: string; readonly detail: string }[] {
    return this.records.items.flatMap((record) => (record.kind === 'link' && record.source === source ? [record.value] : []));
  }

  texts(source: string): readonly string[] {
    return this.records.items.flatMap((record) =>
      record.kind === 'line' && record.source === source ? [Buffer.from(record.bytes).toString('latin1')] : [],
    );
  }

  async reaches(source: string, change: LinkChange, times = 1): Promise<void> {
    await this.records.until(() => this.states(source).filter((state) => state.change === change).length >= times);
  }

  async hears(source: string, text: string): Promise<void> {
    await this.records.until(() => this.texts(source).includes(text));
  }

  async close(): Promise<void> {
    for (const close of this.#closers.reverse()) await close();
    this.#scratch.remove();
  }
}

/** Answers each WHO as a gate board of this name would, after a beat that says nothing of who it is. */
export function answersAs(wire: PtyWire, boardId: string): { readonly asked: () => number } {
  let asked = 0;
  let text = '';
  let seq = 0;
  const say = (line: string): void => wire.write(Buffer.from(`${line}\n`, 'latin1'));
  wire.onData((bytes) => {
    text += Buffer.from(bytes).toString('latin1');
    const lines = text.split('\n');
    text = lines.pop() ?? '';
    for (const _ of lines.filter((line) => line.startsWith('WHO'))) {
      asked += 1;
      const numbers = { edgesCaptured: 0, edgesLost: 0, edgesHeld: 0, hostLinesBad: 0 };
      say(encodeMessage({ kind: 'BEAT', ticks: 1, inputsActive: 0, ...numbers }, seq++));
      const limits = { gateInputCount: 8, channelCount: 5, oldestHeldSeq: 0, tickRateHz: 16e6, protocolVersion: 1 };
      say(encodeMessage({ kind: 'HELLO', boardId, bootId: 7, resetCause: 'power', ticks: 1, ...limits }, seq++));
      say(encodeMessage({ kind: 'BEAT', ticks: 2, inputsActive: 0, ...numbers }, seq++));
    }
  });
  return { asked: () => asked };
}

/** A kind of link that records every line, and does what the test wants besides. */
export function plainDevice(name: string, path: string, more: Partial<DeviceKind> = {}): DeviceKind {
  return {
    name,
    path,
    baudRate: 115_200,
    lineEnding: 'any',
    converse: (line) => ({
      onBytes: () => line.accept('Heard.'),
      onLine: (bytes) => line.record({ kind: 'line', source: name, atNs: line.arrivedAtNs, bytes }),
    }),
    ...more,
  };
}
