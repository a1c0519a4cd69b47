/** Appends until it is killed. Tells on standard output the number of each record, once `append` has returned. */
import fs from 'node:fs';
import { JournalWriter } from '../../host/journal/index.ts';
import { HEAD, sampleRecord } from './journal-samples.ts';

const writer = JournalWriter.create(process.argv[2] ?? '', HEAD);
const told = Buffer.alloc(4);
for (let n = 0; ; n += 1) {
  writer.append(sampleRecord(n));
  told.writeUInt32LE(n);
  tell(told);
  // Lets the background sync run, as a live host would.
  if (n % 50 === 0) await new Promise((resolve) => setImmediate(resolve));
}

/** The pipe does not block; a full one is tried again. */
function tell(bytes: Uint8Array): void {
  for (;;) {
    try {
      fs.writeSync(1, bytes);
      return;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
    }
  }
}
