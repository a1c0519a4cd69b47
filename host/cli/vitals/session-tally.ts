/**
 * Counts over a session's records and events, for `/metrics` and `/healthz`. Bounded by the rig file: sources, channels
 * and limits are those that it names.
 */
import type {
  ClockEvent,
  LimitEvent,
  LinkChange,
  PipelineEvent,
  PosternRecord,
  RecordKind,
  TextLinesEvent,
  WireEvent,
} from '../../../protocol/index.ts';

interface SourceRecords {
  readonly source: string;
  readonly kind: RecordKind;
  count: number;
}

export class SessionTally {
  readonly records = new Map<string, SourceRecords>();
  /** By channel: samples with a time and a quantity, the burst's not counted again. */
  readonly samples = new Map<string, number>();
  /** Newest state, and how often it was opened, lost and so on. */
  readonly links = new Map<string, { state: LinkChange; readonly changes: Map<LinkChange, number> }>();
  readonly wires = new Map<string, WireEvent>();
  readonly texts = new Map<string, TextLinesEvent>();
  readonly clocks = new Map<string, ClockEvent>();
  readonly limits = new Map<string, LimitEvent>();
  /** Closed shots by their id: with a flag or without. A shot that closes again with what came late counts once. */
  readonly #shots = new Map<string, boolean>();

  /** @param sources  of the links, so that one that has not spoken yet is there too */
  constructor(sources: readonly string[]) {
    for (const source of sources) this.links.set(source, { state: 'searching', changes: new Map() });
  }

  takeRecord({ source, kind }: PosternRecord): void {
    const key = `${source}/${kind}`;
    const known = this.records.get(key);
    if (known) known.count += 1;
    else this.records.set(key, { source, kind, count: 1 });
  }

  takeEvent(event: PipelineEvent): void {
    switch (event.type) {
      case 'samples':
        if (event.stream === 'slow') this.samples.set(event.channel, (this.samples.get(event.channel) ?? 0) + event.valuesSi.length);
        return;
      case 'link': {
        const link = this.links.get(event.source) ?? { state: event.change, changes: new Map<LinkChange, number>() };
        link.state = event.change;
        link.changes.set(event.change, (link.changes.get(event.change) ?? 0) + 1);
        this.links.set(event.source, link);
        return;
      }
      case 'wire':
        this.wires.set(event.source, event);
        return;
      case 'text-lines':
        this.texts.set(event.source, event);
        return;
      case 'clock':
        this.clocks.set(event.source, event);
        return;
      case 'limit':
        this.limits.set(event.id, event);
        return;
      case 'shot':
        if (event.phase === 'closed') this.#shots.set(event.shot.id, event.shot.flags.length > 0);
        return;
      default:
        return;
    }
  }

  shots(flagged: boolean): number {
    let count = 0;
    for (const isFlagged of this.#shots.values()) if (isFlagged === flagged) count += 1;
    return count;
  }
}
