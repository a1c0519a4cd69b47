/** The viewers' process: what they cost is not the host's. Told by its parent to count, and to end. */
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { Viewer, type ViewerKind } from './viewer.ts';

const [url = '', seed = '1', ...counts] = process.argv.slice(2);
const KINDS: readonly ViewerKind[] = ['healthy', 'slow', 'vanishing'];
const random = randomStream(Number(seed), 'viewers');
const viewers = KINDS.flatMap((kind, i) =>
  Array.from({ length: Number(counts[i] ?? 0) }, () => new Viewer(url, kind, () => random.uniform())),
);

for (const viewer of viewers) await viewer.connect();
process.on('message', (what) => {
  if (what === 'count') process.send?.(viewers.map(({ count }) => count));
  else {
    for (const viewer of viewers) viewer.close();
    process.disconnect();
  }
});
process.on('disconnect', () => process.exit());
process.send?.('connected');
