/** The shots of a session under the rig file that it was recorded with, to be held against those under a corrected one. */
import type { PosternRecord, Shot } from '../../../protocol/index.ts';
import { ClosedShots } from '../shots/closed-shots.ts';
import { type FoldStep, foldEnd, foldRecord, NOTHING_FOLDED } from './recorded-fold.ts';

export class RecordedShots {
  readonly #shots = new ClosedShots();
  #fold = NOTHING_FOLDED;
  #rigFile = '';

  /** Of the newest in the journal. */
  get rigFile(): string {
    return this.#rigFile;
  }

  get all(): readonly Shot[] {
    return this.#shots.all;
  }

  take(record: PosternRecord): void {
    if (record.kind === 'rig') this.#rigFile = record.value.fileName;
    this.#keep(foldRecord(this.#fold, record, undefined));
  }

  finish(): void {
    this.#keep(foldEnd(this.#fold));
  }

  #keep([fold, events]: FoldStep): void {
    this.#fold = fold;
    for (const event of events) this.#shots.take(event);
  }
}
