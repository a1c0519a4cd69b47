/** All that will go wrong in a run, drawn from its seed. Each seed has its own mix, so that some are hit by one thing alone. */
import { LINE_FAULTS, type LineFault } from '../../firmware-sim/wires/faults.ts';
import { RANGE_FAULTS, type RangeFault } from '../../firmware-sim/world/faults.ts';
import { planCycle } from '../../firmware-sim/world/procedure.ts';
import { type Random, randomStream } from '../../firmware-sim/world/random.ts';

export const LINKS = ['gate-board', 'weather-board', 'fill-gauge', 'wind-meter'] as const;
export type LinkName = (typeof LINKS)[number];

/** One thing that happens at a moment of range time. */
export type Mishap =
  | { readonly what: 'unplug' | 'busy' | 'hold'; readonly atS: number; readonly forS: number; readonly link: LinkName }
  | { readonly what: 'reset board'; readonly atS: number }
  | { readonly what: 'kill' | 'cut power'; readonly atS: number; readonly downS: number; readonly boardToo: boolean }
  | { readonly what: 'kill in writes'; readonly atS: number; readonly downS: number; readonly writes: number }
  | { readonly what: 'stop'; readonly atS: number; readonly downS: number }
  | { readonly what: 'stand still'; readonly atS: number; readonly forS: number }
  | { readonly what: 'full disk' | 'read-only disk'; readonly atS: number; readonly forS: number }
  | { readonly what: 'failed sync'; readonly atS: number; readonly forS: number }
  | { readonly what: 'slow sync'; readonly atS: number; readonly forS: number; readonly ms: number }
  | { readonly what: 'step clock'; readonly atS: number; readonly byMs: number }
  | { readonly what: 'page'; readonly atS: number; readonly bytesPerMs: number; readonly backlogBytes: number }
  | { readonly what: 'page vanishes' | 'page resumes'; readonly atS: number };

export interface FaultPlan {
  readonly seed: number;
  readonly shots: number;
  readonly rangeFaults: readonly RangeFault[];
  /** Of each, for one frame of the gate board's. */
  readonly lineFaults: Readonly<Record<LineFault, number>>;
  /** A share of what the host says is hit, or lost. */
  readonly hostLinesHit: number;
  /** A share of the lines of instruments without a checksum is lost. */
  readonly textLinesLost: number;
  readonly shortWrites: number;
  /** Of the store's batches, the share that fails at first. */
  readonly storeFailing: number;
  /** What the journal may keep in memory while the disk refuses. */
  readonly unwrittenBytesMax: number;
  readonly mishaps: readonly Mishap[];
  /** Range time from which nothing goes wrong any more. */
  readonly calmFromS: number;
}

/** After the firing a shot is still being told, sent and acknowledged for about so long. */
const MID_SHOT_S = 1;
const CHECKED_S = 0.9;

export function planFaults(seed: number): FaultPlan {
  const random = randomStream(seed, 'plan');
  const firings = firingsOf(seed, random);
  const lastS = (firings.at(-1) ?? 0) + CHECKED_S;
  /** Half of all that happens, happens around a firing. */
  const moment = (): number =>
    random.uniform() < 0.6 ? pick(firings, random) + random.between(-0.15, MID_SHOT_S) : random.between(0.3, lastS);
  const some = (probability: number, most = 1): number => (random.uniform() < probability ? 1 + random.integer(most) : 0);
  const times = <T>(count: number, make: () => T): readonly T[] => Array.from({ length: count }, make);
  const link = (): LinkName => (random.uniform() < 0.6 ? 'gate-board' : pick(LINKS, random));

  const mishaps: readonly Mishap[] = [
    ...times(some(0.2), () => ({ what: 'unplug', atS: moment(), forS: random.between(0.05, 1.5), link: link() }) as const),
    ...times(some(0.12), () => ({ what: 'busy', atS: moment(), forS: random.between(0.2, 1), link: link() }) as const),
    ...times(some(0.25, 3), () => ({ what: 'hold', atS: moment(), forS: random.between(0.02, 0.6), link: link() }) as const),
    ...times(some(0.05), () => ({ what: 'hold', atS: moment(), forS: random.between(3.2, 4), link: link() }) as const),
    ...times(some(0.15), () => ({ what: 'reset board', atS: moment() }) as const),
    ...times(some(0.1), () => ({ what: 'reset board', atS: pick(firings, random) + random.between(0, 0.06) }) as const),
    ...times(some(0.25, 2), () => ({ what: 'kill', atS: moment(), downS: random.between(0.1, 1), boardToo: false }) as const),
    ...times(
      some(0.25),
      () => ({ what: 'kill in writes', atS: moment(), downS: random.between(0.1, 1), writes: 1 + random.integer(30) }) as const,
    ),
    ...times(
      some(0.2),
      () => ({ what: 'cut power', atS: moment(), downS: random.between(0.2, 1), boardToo: random.uniform() < 0.3 }) as const,
    ),
    ...times(some(0.08), () => ({ what: 'stop', atS: moment(), downS: random.between(0.1, 0.6) }) as const),
    ...times(some(0.15, 2), () => ({ what: 'stand still', atS: moment(), forS: random.between(0.05, 0.8) }) as const),
    ...times(some(0.15), () => ({ what: 'full disk', atS: moment(), forS: random.between(0.05, 1.5) }) as const),
    ...times(some(0.05), () => ({ what: 'read-only disk', atS: moment(), forS: random.between(0.05, 1.5) }) as const),
    ...times(some(0.08), () => ({ what: 'failed sync', atS: moment(), forS: random.between(0.02, 0.5) }) as const),
    ...times(some(0.2), () => ({ what: 'slow sync', atS: moment(), forS: random.between(0.1, 1), ms: random.between(60, 600) }) as const),
    ...times(
      some(0.2, 2),
      () =>
        ({ what: 'step clock', atS: moment(), byMs: Math.round(10 ** random.between(1, 7) * (random.uniform() < 0.5 ? -1 : 1)) }) as const,
    ),
    ...times(1 + random.integer(3), () => pageAt(random.between(0, lastS), random)),
    ...times(some(0.3), () => ({ what: 'page vanishes', atS: moment() }) as const),
    ...times(some(0.3), () => ({ what: 'page resumes', atS: moment() }) as const),
  ];
  const onLine = random.uniform() < 0.5;
  const share = (): number => (onLine && random.uniform() < 0.5 ? random.between(0.003, 0.05) : 0);
  return {
    seed,
    shots: firings.length,
    rangeFaults: RANGE_FAULTS.filter(() => random.uniform() < 0.06),
    lineFaults: Object.fromEntries(LINE_FAULTS.map((name) => [name, share()])) as Record<LineFault, number>,
    hostLinesHit: random.uniform() < 0.3 ? random.between(0.01, 0.2) : 0,
    textLinesLost: random.uniform() < 0.2 ? random.between(0.01, 0.2) : 0,
    shortWrites: random.uniform() < 0.2 ? random.between(0.02, 0.5) : 0,
    storeFailing: random.uniform() < 0.2 ? 0.3 : 0,
    unwrittenBytesMax: Math.round(2 ** random.between(13, 20)),
    mishaps: mishaps.map((mishap) => ({ ...mishap, atS: Math.max(0.05, mishap.atS) })).sort((a, b) => a.atS - b.atS),
    calmFromS: lastS,
  };
}

function firingsOf(seed: number, random: Random): readonly number[] {
  const chance = random.uniform();
  const shots = chance < 0.75 ? 1 : chance < 0.95 ? 2 : 3;
  const firings: number[] = [];
  let startS = 0;
  for (let number = 1; number <= shots; number++) {
    const cycle = planCycle({ seed, pace: 'fast', setPoints: 'spread', number, startS });
    firings.push(cycle.firedAtS);
    startS = cycle.endS;
  }
  return firings;
}

function pageAt(atS: number, random: Random): Mishap {
  const isSlow = random.uniform() < 0.4;
  if (!isSlow) return { what: 'page', atS, bytesPerMs: 10_000, backlogBytes: 0 };
  // What a page that stopped reading a while ago has waiting for it.
  return {
    what: 'page',
    atS,
    bytesPerMs: random.uniform() < 0.5 ? 0 : random.between(1, 300),
    backlogBytes: Math.round(10 ** random.between(3, 6.7)),
  };
}

function pick<T>(values: readonly T[], random: Random): T {
  return values[random.integer(values.length)] as T;
}
