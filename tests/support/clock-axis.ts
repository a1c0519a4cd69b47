/**
 * One time axis, scored: boards whose clocks and lines are drawn from a seed, and how far from the truth, in its own
 * uncertainty, the host's word on a tick's moment lies.
 */
import { randomStream } from '../../firmware-sim/world/random.ts';
import { hostNs, hostNsStandardUncertainty } from '../../host/metrology/index.ts';
import { BOARDS, type BoardName, type ClockError, type LineDelay, TICK_RATE_HZ, VirtualBoards } from './virtual-boards.ts';

/** From a seed: 50 ppm at most, a drift that stays within it, a line of some kind. */
export function drawn(seed: number, driftPpmPerSMax: number) {
  const random = randomStream(seed, 'clock-axis');
  const pick = <T>(values: readonly T[]): T => values[random.integer(values.length)] as T;
  const clock = (): ClockError => ({
    startTicks: random.integer(2 ** 46),
    errorPpm: pick([-50, 50, random.between(-50, 50)]),
    driftPpmPerS: random.between(-driftPpmPerSMax, driftPpmPerSMax),
  });
  const delay = (): LineDelay => ({
    leastS: 10 ** random.between(-4.5, -2.5),
    jitterS: 10 ** random.between(-6, -2.7),
    frameS: pick([0, 0, 1e-3, 16e-3]),
    stalls: pick([0, 0, 0.05]),
  });
  const ofBoth = <T>(make: () => T): Record<BoardName, T> => ({ 'gate-board': make(), 'far-board': make() });
  return { random, clocks: ofBoth(clock), delays: ofBoth(delay), seconds: pick([3, 20, 60, 200, 400]) };
}

export interface Score {
  readonly what: string;
  readonly seed: number;
  readonly z: number;
}

export function scoresOf(seed: number, driftPpmPerSMax: number): readonly Score[] {
  const { random, clocks, delays, seconds } = drawn(seed, driftPpmPerSMax);
  const boards = new VirtualBoards(seed, clocks, delays);
  const scores: Score[] = [];
  for (const board of BOARDS) boards.opened(board, 0.001);
  const gap = seconds >= 60 ? { fromS: seconds * 0.5, toS: seconds * 0.5 + 30 } : { fromS: 0, toS: 0 };
  const placed = (board: BoardName, trueS: number) => {
    const clock = boards.state.boards[board]?.clock;
    if (!clock) throw new Error('no fit');
    const ticks = boards.ticks(board, trueS);
    return { errorNs: hostNs(clock, ticks) - trueS * 1e9, u: hostNsStandardUncertainty(clock, ticks) };
  };
  const judge = (what: string, trueS: number): void => {
    const both = BOARDS.map((board) => placed(board, trueS));
    for (const { errorNs, u } of both) scores.push({ what, seed, z: errorNs / u });
    const [a, b] = both;
    if (a && b) scores.push({ what: `${what}, one board to the other`, seed, z: (a.errorNs - b.errorNs) / Math.hypot(a.u, b.u) });
  };
  const sample = (trueS: number): void => {
    const clock = boards.state.boards['gate-board']?.clock;
    const before = boards.events.length;
    const ticks = boards.ticks('gate-board', trueS);
    boards.say('gate-board', { kind: 'DATA', stream: 'slow', channel: 0, ticks, periodTicks: 16_000, counts: [20_000] }, trueS + 0.05);
    const samples = boards.events.slice(before).find((event) => event.type === 'samples');
    if (samples?.type !== 'samples' || !clock) throw new Error('no samples');
    scores.push({ what: 'samples', seed, z: (samples.fromNs - trueS * 1e9) / hostNsStandardUncertainty(clock, ticks) });
  };
  for (let s = 0.01; s < seconds; s += 0.25) {
    if (s >= gap.fromS && s < gap.toS) continue;
    for (const board of BOARDS) boards.exchange(board, s + 0.1 * random.uniform());
    const isWhole = Math.floor(s) !== Math.floor(s - 0.25);
    if (s < 1 || !isWhole) continue;
    judge('now', s + 0.2);
    scores.push(...offsetScores(boards, seed));
    sample(s + 0.15);
    for (const board of BOARDS) {
      const { errorPpm, driftPpmPerS } = clocks[board];
      const clock = boards.state.boards[board]?.clock;
      if (clock)
        scores.push({
          what: 'rate now',
          seed,
          z: (clock.rateError * 1e6 - errorPpm - driftPpmPerS * s) / (clock.rateStandardUncertainty * 1e6),
        });
    }
    judge('fetched late', s - random.uniform() * Math.min(s, 100));
  }
  judge('ahead', seconds + 20);
  judge('far ahead', seconds + 120);
  judge('in the gap', (gap.fromS + gap.toS) / 2);
  return scores;
}

/** The newest offset that each board's clock was told to have, against the truth. */
function offsetScores(boards: VirtualBoards, seed: number): readonly Score[] {
  return BOARDS.flatMap((board) => {
    const told = boards.events.findLast((event) => event.type === 'clock' && event.source === board);
    if (told?.type !== 'clock') return [];
    const trueS = told.atNs / 1e9;
    const offByS = told.offsetS - (boards.ticks(board, trueS) / TICK_RATE_HZ - trueS);
    return [{ what: 'offset told', seed, z: offByS / told.offsetStandardUncertaintyS }];
  });
}

export interface KindScore {
  readonly what: string;
  readonly count: number;
  /** Within three standard uncertainties. */
  readonly shareWithin3: number;
  readonly rms: number;
  readonly worst: Score;
}

/** @param seeds  how many, from 1000 on */
export function axisScores(seeds: number, driftPpmPerSMax: number): readonly KindScore[] {
  const byKind = new Map<string, { count: number; within3: number; squares: number; worst: Score }>();
  for (let seed = 1000; seed < 1000 + seeds; seed += 1) {
    for (const score of scoresOf(seed, driftPpmPerSMax)) {
      const known = byKind.get(score.what) ?? { count: 0, within3: 0, squares: 0, worst: score };
      known.count += 1;
      known.within3 += Number(Math.abs(score.z) <= 3);
      known.squares += score.z ** 2;
      if (Math.abs(score.z) > Math.abs(known.worst.z)) known.worst = score;
      byKind.set(score.what, known);
    }
  }
  return [...byKind].map(([what, { count, within3, squares, worst }]) => ({
    what,
    count,
    shareWithin3: within3 / count,
    rms: Math.sqrt(squares / count),
    worst,
  }));
}
