/** One time axis: whatever the boards' clocks and lines do, what the host says of a tick's moment holds within what it states. */
import { expect, test } from 'vitest';
import { hostNsStandardUncertainty } from '../../host/metrology/index.ts';
import { axisScores, drawn } from '../support/clock-axis.ts';
import { BOARDS, type BoardName, VirtualBoards } from '../support/virtual-boards.ts';

test.each([0, 0.002, 0.02])('edges, samples and rates lie within three standard uncertainties, with drift up to %d ppm/s', (drift) => {
  const kinds = axisScores(40, drift);
  expect(kinds.length).toBe(13);
  for (const { what, shareWithin3, rms, worst } of kinds) {
    expect(shareWithin3, `${what}; worst ${worst.z.toFixed(1)} in seed ${worst.seed}`).toBeGreaterThanOrEqual(0.99);
    // Nor so wide that it would say nothing.
    expect(rms, what).toBeGreaterThan(0.2);
  }
});

const ORIGIN_MS = Date.UTC(2026, 2, 2, 9);
const GATES = [
  { board: 'gate-board', input: 1, positionM: 1.5 },
  { board: 'gate-board', input: 2, positionM: 2.5 },
  { board: 'far-board', input: 3, positionM: 9 },
  { board: 'far-board', input: 4, positionM: 10 },
] as const;
const BALL_M = 0.06;

/** A ball without drag past gates of two boards; its edges arrive after it. @returns the moment of firing */
function shoot(boards: VirtualBoards, firedS: number, speedMps: number): void {
  let arrivesS = firedS + 0.06;
  const edge = (board: BoardName, input: number, active: boolean, timeS: number): void => {
    boards.say(board, { kind: 'EDGE', input, active, ticks: boards.ticks(board, timeS), hardwareTimed: true }, arrivesS);
    arrivesS += 0.0005;
  };
  edge('gate-board', 0, true, firedS);
  for (const { board, input, positionM } of GATES) {
    const leadingS = firedS + 0.02 + positionM / speedMps;
    edge(board, input, true, leadingS);
    edge(board, input, false, leadingS + BALL_M / speedMps);
  }
}

test.each([3600, -3600])("a step of the computer's clock by %d s moves no time that was told, and labels what comes after", (stepS) => {
  for (let seed = 1; seed <= 20; seed += 1) {
    const { clocks } = drawn(seed, 0.005);
    // Lines good enough for a flight to be told from edges of two boards.
    const line = { leastS: 1e-4, jitterS: 2e-5, frameS: 0, stalls: 0 };
    const boards = new VirtualBoards(seed, clocks, { 'gate-board': line, 'far-board': line });
    const stepAtS = 30.25;
    const utcMs = (s: number): number => ORIGIN_MS + s * 1000 + (s >= stepAtS ? stepS * 1000 : 0);
    boards.anchor(0, utcMs(0));
    for (const board of BOARDS) boards.opened(board, 0.001);
    const fired = { beforeS: 30.15, afterS: 40.15 };
    for (let i = 0; i < 240; i += 1) {
      const s = 0.01 + i * 0.25;
      for (const board of BOARDS) boards.exchange(board, s);
      if (i % 4 === 0)
        for (const board of BOARDS) boards.say(board, { kind: 'BEAT', ticks: boards.ticks(board, s), ...NO_EDGES }, s + 0.12);
      for (const at of Object.values(fired)) if (s <= at && at < s + 0.25) shoot(boards, at, 320);
      if (i % 2 === 1) boards.anchor(s + 0.2, utcMs(s + 0.2));
    }
    const shots = boards.events.flatMap((event) => (event.type === 'shot' ? [event] : []));
    const told = (number: number) => shots.filter(({ shot }) => shot.number === number);
    for (const [number, firedS, utcStepS] of [
      [1, fired.beforeS, 0],
      [2, fired.afterS, stepS],
    ] as const) {
      const events = told(number);
      expect(
        events.map(({ phase }) => phase),
        `seed ${seed}`,
      ).toEqual(['opened', 'measured', 'closed']);
      expect(new Set(events.map(({ shot }) => shot.id)).size).toBe(1);
      for (const { shot } of events) {
        const clock = boards.state.boards['gate-board']?.clock;
        const uNs = clock ? hostNsStandardUncertainty(clock, boards.ticks('gate-board', firedS)) : Number.NaN;
        expect(Math.abs(shot.firedAtNs - firedS * 1e9), `seed ${seed}`).toBeLessThan(3 * uNs + 1e3);
        // The label has the anchor's offset, and moves only with the fitted moment itself.
        const labelMs = Date.parse(`${shot.firedAt.slice(0, 23)}Z`);
        expect(Math.abs(labelMs - (ORIGIN_MS + utcStepS * 1000 + shot.firedAtNs / 1e6)), `seed ${seed}`).toBeLessThan(1.01);
      }
      expect(events.at(-1)?.shot.edges.length, `seed ${seed}`).toBe(9);
      const far = events.at(-1)?.shot.edges.find(({ gate }) => gate === 'B1');
      const own = boards.state.boards['gate-board']?.clock;
      const other = boards.state.boards['far-board']?.clock;
      if (!far || !own || !other) throw new Error(`seed ${seed}: no edge of B1`);
      const uNs = Math.hypot(
        hostNsStandardUncertainty(own, boards.ticks('gate-board', firedS)),
        hostNsStandardUncertainty(other, boards.ticks('far-board', firedS)),
      );
      expect(Math.abs(far.timeS - 0.02 - 9 / 320) * 1e9, `seed ${seed}`).toBeLessThan(3 * uNs);
    }
    const [first, second] = [told(1).at(-1), told(2).at(-1)];
    expect((second?.shot.firedAtNs ?? 0) - (first?.shot.firedAtNs ?? 0)).toBeGreaterThan(9.9e9);
    const times = boards.events.map(({ atNs }) => atNs);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  }
});

const NO_EDGES = { edgesCaptured: 0, edgesLost: 0, edgesHeld: 0, inputsActive: 0, hostLinesBad: 0 };
