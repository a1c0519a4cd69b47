/**
 * A recorded session, read from its journal once and as fast as it goes: its shots, its envelopes and the moments that a
 * replay can begin from. A slice at a time, so that whoever replays meanwhile is not held up.
 */
import type {
  PipelineEvent,
  PosternRecord,
  ReplayShot,
  RigRecord,
  RigSummary,
  SessionNs,
  Shot,
  ShotCameraEvent,
  ShotExcludedEvent,
} from '../../../protocol/index.ts';
import { type JournalDamage, type JournalItem, type JournalPlace, newestTimeNs, readJournal } from '../../journal/index.ts';
import { summarise } from '../../rig/index.ts';
import { EnvelopeArchive, LiveFeed, withCamera, withExclusion } from '../../serve/index.ts';
import { type Checkpoint, Checkpoints } from './checkpoints.ts';
import { type CorrectedRig, type FoldState, foldEnd, foldRecord, NOTHING_FOLDED } from './recorded-fold.ts';
import { SessionMarks } from './session-marks.ts';

export interface ReadingPorts {
  readonly corrected?: CorrectedRig | undefined;
  readonly onDamage?: (damage: JournalDamage) => void;
  /** Told of each record, and when there are no more. */
  readonly onRecord?: (record: PosternRecord) => void;
  readonly onWhole?: () => void;
  readonly checkpointBytesMax?: number;
}

interface ClosedShot {
  readonly atNs: SessionNs;
  /** Without its traces. */
  readonly shot: Shot;
}

export class SessionReading {
  readonly path: string;
  readonly archive = new EnvelopeArchive();
  readonly checkpoints: Checkpoints;
  readonly marks = new SessionMarks();
  readonly #ports: ReadingPorts;
  readonly #items: Generator<JournalItem, void, undefined>;
  readonly #feed = new LiveFeed({ mode: 'replay' });
  readonly #closings: ClosedShot[] = [];
  readonly #exclusions: ShotExcludedEvent[] = [];
  readonly #cameras: ShotCameraEvent[] = [];
  readonly #fromTail: SessionNs;
  #fold: FoldState = NOTHING_FOLDED;
  /** A checkpoint, at the next record. */
  #isDue = true;
  #isWhole = false;
  #rigFile: RigRecord['value'] | undefined;
  #shots: readonly ReplayShot[] = [];

  /** @throws Error of the system where the file cannot be opened or read */
  constructor(path: string, ports: ReadingPorts = {}) {
    this.path = path;
    this.#ports = ports;
    this.checkpoints = new Checkpoints(ports.checkpointBytesMax);
    this.#fromTail = newestTimeNs(path) ?? 0;
    this.#items = readJournal(path);
  }

  get sessionId(): string {
    return this.#fold.pipeline.sessionId;
  }

  /** The newest that has been read, as it is in force in the replay. */
  get rig(): RigSummary | undefined {
    const { rig } = this.#fold.pipeline;
    return rig && summarise(rig);
  }

  /** The newest that has been read, as it was recorded. */
  get rigFile(): { readonly fileName: string; readonly text: string } | undefined {
    return this.#rigFile;
  }

  /** So far, ns of the session. */
  get readToNs(): SessionNs {
    return this.#isWhole ? this.endNs : this.#fold.newestNs;
  }

  get isWhole(): boolean {
    return this.#isWhole;
  }

  /** Of the newest record; until all is read, as the file's tail has it. */
  get endNs(): SessionNs {
    return this.#isWhole ? this.#fold.newestNs : Math.max(this.#fromTail, this.#fold.newestNs);
  }

  /** Those read so far, in the order of their closing. */
  get shots(): readonly ReplayShot[] {
    return this.#shots;
  }

  /** Each shot as it was last closed by that time, oldest first, without traces. */
  shotsAt(atNs: SessionNs): readonly Shot[] {
    const byId = new Map(this.#closings.filter((closing) => closing.atNs <= atNs).map(({ shot }) => [shot.id, shot]));
    const said = this.#exclusions.filter((exclusion) => exclusion.atNs <= atNs);
    const seen = this.#cameras.filter((camera) => camera.atNs <= atNs);
    return seen.reduce<readonly Shot[]>(withCamera, said.reduce<readonly Shot[]>(withExclusion, [...byId.values()]));
  }

  /**
   * Reads on.
   * @param sliceMs  for about so long
   * @returns false once all is read
   */
  readFor(sliceMs: number): boolean {
    const untilMs = performance.now() + sliceMs;
    for (let count = 0; !this.#isWhole; count += 1) {
      if (count % 16 === 15 && performance.now() >= untilMs) return true;
      this.#readOne();
    }
    return false;
  }

  close(): void {
    this.#items.return();
  }

  #readOne(): void {
    const { value: item, done } = this.#items.next();
    if (done || !item) {
      this.#isWhole = true;
      this.#tell(foldEnd(this.#fold));
      this.#ports.onWhole?.();
      return;
    }
    if ('damage' in item) {
      this.#ports.onDamage?.(item.damage);
      return;
    }
    if (this.#isDue) this.#keep(item.place());
    this.#isDue = false;
    this.#ports.onRecord?.(item.record);
    if (item.record.kind === 'rig') this.#rigFile = item.record.value;
    const shotEvents = this.#tell(foldRecord(this.#fold, item.record, this.#ports.corrected));
    if (this.checkpoints.isDue(shotEvents)) this.#isDue = true;
  }

  #keep(place: JournalPlace): void {
    const checkpoint: Checkpoint = { fold: this.#fold, feed: this.#feed.moment(), place };
    this.checkpoints.add(checkpoint);
  }

  /** @returns how many of them tell of a shot */
  #tell([fold, events]: readonly [FoldState, readonly PipelineEvent[]]): number {
    this.#fold = fold;
    let shotEvents = 0;
    for (const event of events) {
      this.#feed.accept(event);
      this.marks.take(event);
      if (event.type === 'samples' && event.stream === 'slow') this.archive.add(event);
      if (event.type === 'shot-excluded') this.#exclusions.push(event);
      if (event.type === 'shot-camera') this.#cameras.push(event);
      if (event.type === 'shot') {
        shotEvents += 1;
        if (event.phase === 'closed') this.#close(event.shot, event.atNs);
      }
    }
    return shotEvents;
  }

  #close(shot: Shot, atNs: SessionNs): void {
    this.#closings.push({ atNs, shot: { ...shot, traces: [] } });
    const { id, number, firedAtNs } = shot;
    // Closed again with what came late: a step goes to where it was first told.
    if (!this.#shots.some((known) => known.id === id)) this.#shots = [...this.#shots, { id, number, firedAtNs, closedAtNs: atNs }];
  }
}
