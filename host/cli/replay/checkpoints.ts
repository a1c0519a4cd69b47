/** Moments of a recorded session that a replay can begin from. Bounded: where they grow too many or too heavy, every second one goes. */
import type { SessionNs, Shot } from '../../../protocol/index.ts';
import type { JournalPlace } from '../../journal/index.ts';
import type { FeedMoment } from '../../serve/index.ts';
import { type PackedChannels, packChannels, unpackChannels } from './packed-channels.ts';
import type { FoldState } from './recorded-fold.ts';

export interface Checkpoint {
  readonly fold: FoldState;
  readonly feed: FeedMoment;
  /** Of the record that comes next. */
  readonly place: JournalPlace;
}

interface Kept {
  readonly fold: FoldState;
  readonly samples: PackedChannels;
  readonly feed: FeedMoment;
  readonly place: JournalPlace;
}

/**
 * Work between two checkpoints, in records folded: some 70 ms of a core. To describe a shot, which is done three times,
 * costs as much as some two hundred records of samples.
 */
const WORK_BETWEEN = 800;
const WORK_OF_SHOT_EVENT = 200;
/** Of packed samples and of shots' traces: four hours of two channels at 1 kHz and seven slow ones take some 220 MB. */
const BYTES_MAX = 384 * 1024 * 1024;
/** The rest of a state weighs some 50 kB. */
const COUNT_MAX = 4_000;

export class Checkpoints {
  readonly #bytesMax: number;
  #kept: Kept[] = [];
  #bytes = 0;
  #between = WORK_BETWEEN;
  #workSince = Number.POSITIVE_INFINITY;

  constructor(bytesMax = BYTES_MAX) {
    this.#bytesMax = bytesMax;
  }

  get count(): number {
    return this.#kept.length;
  }

  get bytes(): number {
    return this.#bytes;
  }

  /** One record was folded. @returns whether a checkpoint should be made before the next */
  isDue(shotEvents: number): boolean {
    this.#workSince += 1 + WORK_OF_SHOT_EVENT * shotEvents;
    return this.#workSince >= this.#between;
  }

  /** In the order of the journal. */
  add({ fold, feed, place }: Checkpoint): void {
    const samples = packChannels(fold.pipeline.channels);
    const kept: Kept = { fold: { ...fold, pipeline: { ...fold.pipeline, channels: {} } }, samples, feed, place };
    this.#bytes += samples.deflated.length + traceBytes(feed, new Set(this.#kept.at(-1)?.feed.shots));
    this.#kept.push(kept);
    this.#workSince = 0;
    while (this.#kept.length > 2 && (this.#bytes > this.#bytesMax || this.#kept.length > COUNT_MAX)) this.#thin();
  }

  /** The last one at or before that time. @returns undefined before the first is made */
  before(toNs: SessionNs): Checkpoint | undefined {
    const found = this.#kept.findLast(({ fold }) => fold.newestNs <= toNs) ?? this.#kept[0];
    if (!found) return undefined;
    const { fold, samples, feed, place } = found;
    return { fold: { ...fold, pipeline: { ...fold.pipeline, channels: unpackChannels(samples) } }, feed, place };
  }

  #thin(): void {
    this.#kept = this.#kept.filter((_, index) => index % 2 === 0);
    const counted = new Set<Shot>();
    this.#bytes = this.#kept.reduce((sum, { samples, feed }) => sum + samples.deflated.length + traceBytes(feed, counted), 0);
    this.#between *= 2;
  }
}

/** Of the shots that are not counted yet, and counts them. Moments share their shots. */
function traceBytes({ shots }: FeedMoment, counted: Set<Shot>): number {
  const fresh = shots.filter((shot) => !counted.has(shot));
  for (const shot of fresh) counted.add(shot);
  return fresh.reduce((sum, shot) => sum + shot.traces.reduce((all, { valuesPa }) => all + 8 * valuesPa.length, 0), 0);
}
