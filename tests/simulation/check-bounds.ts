/** What the host keeps in memory stays bounded, whatever happens, and each page was told all or told that it is too slow. */
import { CLOSE_ABOVE_BYTES } from '../../host/serve/live-clients.ts';
import type { HostLife } from './host-life.ts';

/** Above the bound at which a page is let go, what one flush may add: a snapshot with twenty shots. */
const FLUSH_BYTES_MAX = 2 * 1024 * 1024;
/** Numbers, texts and their places in the pipeline's state. Measured on sessions of 3 shots: some tens of thousands. */
const STATE_PARTS_MAX = 400_000;

export function checkBounds(life: HostLife, unwrittenBytesMax: number): readonly string[] {
  const wrong: string[] = [];
  if (life.unwrittenBytesMost > unwrittenBytesMax)
    wrong.push(`${life.unwrittenBytesMost} bytes waited for the disk, allowed are ${unwrittenBytesMax}`);
  const parts = partsOf(life.state);
  if (parts > STATE_PARTS_MAX) wrong.push(`the pipeline's state has ${parts} parts`);
  for (const page of life.pages) {
    if (page.bufferedBytesMax > CLOSE_ABOVE_BYTES + FLUSH_BYTES_MAX) wrong.push(`${page.bufferedBytesMax} bytes waited for a page`);
    wrong.push(...page.faults.map((fault) => `a page: ${fault}`));
    const isCurrent = life.ended === 'in order' && page.closedWith === 1001;
    const untold = isCurrent ? life.feed.shots.filter(({ id }) => !page.closedShots.has(id)) : [];
    if (untold.length > 0) wrong.push(`a page was not told of shot ${untold[0]?.id}`);
  }
  return wrong;
}

function partsOf(root: unknown): number {
  let count = 0;
  const stack: unknown[] = [root];
  while (stack.length > 0 && count <= STATE_PARTS_MAX) {
    const value = stack.pop();
    count += 1;
    if (value instanceof Map || value instanceof Set) stack.push(...value);
    else if (ArrayBuffer.isView(value)) count += value.byteLength / 8;
    else if (typeof value === 'object' && value !== null) stack.push(...Object.values(value));
  }
  return count;
}
