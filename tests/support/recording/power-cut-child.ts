/**
 * Appends and syncs until its disk or its life ends. Tells on standard output, after each sync that has succeeded, how
 * many records it covered, and when that was, by the machine's monotonic clock.
 */
import fs from 'node:fs';
import { JournalWriter } from '../../../host/journal/index.ts';
import { HEAD, sampleRecord } from '../../faults/journal-samples.ts';

const writer = JournalWriter.create(process.argv[2] ?? '', HEAD);
for (let n = 0; ; n += 1) {
  writer.append(sampleRecord(n));
  if (n % 40 !== 0) continue;
  const covered = n + 1;
  await writer.sync().then(
    () => fs.writeSync(1, `s ${covered} ${process.hrtime.bigint()}\n`),
    () => new Promise((resolve) => setTimeout(resolve, 20)),
  );
}
