/** What can go wrong in a simulated run, and how often each has truly acted: drawn is not enough. */
export const FAULT_KINDS = [
  'bit flip',
  'dropped frame',
  'cut frame',
  'doubled frame',
  'noise on the line',
  'host line hit',
  'overtaken link',
  'stalled link',
  'unplugged',
  'port busy',
  'board reset',
  'board reset in mid-shot',
  'host killed',
  'host killed in a write',
  'host killed in mid-shot',
  'host stopped in order',
  'host stood still',
  'power cut',
  'torn write',
  'lost write',
  'short write',
  'full disk',
  'read-only disk',
  'failed sync',
  'slow sync',
  'clock stepped',
  'slow page',
  'vanished page',
  'resumed page',
  'fault of the range',
] as const;
export type FaultKind = (typeof FAULT_KINDS)[number];

export type FaultCounts = Readonly<Record<FaultKind, number>>;

export class FaultTally {
  readonly #counts = new Map<FaultKind, number>();

  add(kind: FaultKind, count = 1): void {
    this.#counts.set(kind, (this.#counts.get(kind) ?? 0) + count);
  }

  addAll(counts: FaultCounts): void {
    for (const kind of FAULT_KINDS) this.add(kind, counts[kind]);
  }

  get counts(): FaultCounts {
    return Object.fromEntries(FAULT_KINDS.map((kind) => [kind, this.#counts.get(kind) ?? 0])) as Record<FaultKind, number>;
  }
}
