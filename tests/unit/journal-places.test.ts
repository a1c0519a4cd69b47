/** A journal read on from a place gives what reading from the start gives from there, damaged and in parts too. */
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { type JournalPlace, newestTimeNs, readJournal } from '../../host/journal/index.ts';
import { scratchFolder } from '../support/command.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const scratch = scratchFolder();
afterAll(() => scratch.remove());

function readAll(path: string, from?: JournalPlace) {
  const records: string[] = [];
  const places: JournalPlace[] = [];
  for (const item of readJournal(path, from)) {
    if (!('record' in item)) continue;
    const { record, place } = item;
    records.push(JSON.stringify('bytes' in record ? { ...record, bytes: [...record.bytes] } : record));
    places.push(place());
  }
  return { records, places };
}

test('from any record on, whole, with a damaged stretch, and going on in a second part', async () => {
  const whole = join(scratch.path, 'whole.mcap');
  await writeVirtualJournal(whole, { seed: 3, shots: 1, untilS: 2 });
  const bytes = readFileSync(whole);
  const damaged = join(scratch.path, 'damaged.mcap');
  writeFileSync(damaged, Buffer.concat([bytes.subarray(0, 20_000), Buffer.alloc(900, 5), bytes.subarray(20_900)]));
  // The second part begins with records that the first has too, as after trouble with the disk.
  const parted = join(scratch.path, 'parted.mcap');
  writeFileSync(parted, bytes.subarray(0, 25_000));
  copyFileSync(damaged, join(scratch.path, 'parted.part2.mcap'));
  const all = readAll(whole).records;
  for (const path of [whole, damaged, parted]) {
    const { records, places } = readAll(path);
    expect(path === damaged ? records.length < all.length : records.length === all.length).toBe(true);
    for (let index = 0; index < records.length; index += 7) {
      expect(readAll(path, places[index]).records, `${path}, from record ${index}`).toEqual(records.slice(index));
    }
    expect(newestTimeNs(path)).toBe(Math.max(...records.map((text) => JSON.parse(text).atNs)));
  }
});
