/** What a journal holds of each counted channel, and where it has gaps. */
import { readJournal } from '../../../host/journal/index.ts';
import { decodeBoardLine, type PosternRecord } from '../../../protocol/index.ts';
import { CHANNELS } from './fleet.ts';
import { Received } from './received.ts';

export interface ChannelCount {
  readonly channel: string;
  readonly board: string;
  readonly received: Received;
  /** Samples in gaps that no new opening of the link explains. */
  readonly lost: number;
  /** Samples in gaps at a new opening of the link. */
  readonly missedWhileDown: number;
}

interface Counting {
  readonly received: Received;
  /** The first count of each opening. */
  readonly firsts: Set<number>;
  isFresh: boolean;
}

/** @throws Error where the journal is damaged */
export function countJournal(path: string): readonly ChannelCount[] {
  const counting = new Map<string, Counting>(
    CHANNELS.map(({ name, modulus }) => [name, { received: new Received(modulus), firsts: new Set<number>(), isFresh: true }]),
  );
  const opened = (board: string): void => {
    for (const channel of CHANNELS) {
      const own = channel.board === board ? counting.get(channel.name) : undefined;
      if (own) own.isFresh = true;
    }
  };
  for (const item of readJournal(path)) {
    if ('damage' in item) throw new Error(`the journal is damaged: ${JSON.stringify(item.damage)}`);
    const { record } = item;
    if (record.kind === 'link' && record.value.change === 'opened') opened(record.source);
    for (const [channel, count] of countsIn(record)) {
      const own = counting.get(channel);
      if (!own) continue;
      const index = own.received.add(count);
      if (own.isFresh) own.firsts.add(index);
      own.isFresh = false;
    }
  }
  return CHANNELS.map(({ name, board }) => {
    const { received, firsts } = counting.get(name) as Counting;
    const size = (isOwn: boolean): number =>
      received.gaps.reduce((sum, [from, to]) => (firsts.has(to) === isOwn ? sum + to - from : sum), 0);
    return { channel: name, board, received, lost: size(false), missedWhileDown: size(true) };
  });
}

function* countsIn(record: PosternRecord): Generator<readonly [string, number]> {
  if (record.kind === 'reading') for (const [key, count] of Object.entries(record.value)) yield [`${record.source}-${key.slice(1)}`, count];
  if (record.kind !== 'line') return;
  const line = Buffer.from(record.bytes).toString('latin1');
  const printed = /^N=(\d+)$/.exec(line)?.[1];
  if (printed !== undefined) yield [`${record.source}-0`, Number(printed)];
  const decoded = decodeBoardLine(line);
  if (!decoded.ok || decoded.value.kind !== 'DATA') return;
  for (const count of decoded.value.counts) yield [`${record.source}-${decoded.value.channel}`, count];
}
