/** How a reader's process is spoken to: told what will come, it says when the last of it was there. */

export interface Expected {
  readonly lines: number;
  /** Of those, how many are blocks of samples. */
  readonly blocks: number;
}

export interface Reached {
  /** Of the machine's monotonic clock, which every process reads alike. */
  readonly doneNs: number;
  /** Of the reader's process since its start, µs. */
  readonly cpu: NodeJS.CpuUsage;
}

export interface ReaderSays extends Reached {
  /** When it was told. */
  readonly before: NodeJS.CpuUsage;
}

export interface Reader {
  begin(expected: Expected): Promise<Reached>;
  close(): Promise<void>;
}

export function answerWith(reader: Reader): void {
  process.on('message', (told: Expected | 'close') => {
    if (told === 'close') {
      void reader.close().then(() => process.disconnect());
      return;
    }
    const before = process.cpuUsage();
    void reader.begin(told).then((reached) => process.send?.({ ...reached, before } satisfies ReaderSays));
    process.send?.('expecting');
  });
  process.on('disconnect', () => process.exit());
  process.send?.('ready');
}
