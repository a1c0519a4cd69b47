/** The range and its line misbehave, one fault at a time and all at once: no shot is lost, and no velocity is wrong without a flag. */
import { describe, expect, test } from 'vitest';
import type { FaultName } from '../../firmware-sim/faults.ts';
import type { WireCounters, WireFaultCode } from '../../protocol/index.ts';
import { runVirtualRange, type VirtualRun } from '../support/virtual-range.ts';

const SHOTS = 2;
/** Standard uncertainties: one in 16,000 for a normal error. */
const SCORE_MAX = 4;

interface Judged {
  readonly wrong: readonly string[];
  readonly wrongUnflagged: readonly string[];
}

function judge(run: VirtualRun): Judged {
  const wrong = run.shots.filter((shot) => {
    const truth = run.truth.find((t) => Math.abs(t.firedAtS * 1e9 - shot.firedAtNs) < 0.1e9);
    const measured = shot.muzzleVelocityMps;
    if (!truth || !measured) return true;
    return Math.abs(measured.value - truth.muzzleVelocityMps) > SCORE_MAX * measured.standardUncertainty;
  });
  return { wrong: wrong.map((shot) => shot.id), wrongUnflagged: wrong.filter((shot) => shot.flags.length === 0).map((shot) => shot.id) };
}

function countersOf(run: VirtualRun): WireCounters {
  const last = run.events.findLast((event) => event.type === 'wire');
  if (last?.type !== 'wire') throw new Error('no wire event');
  return last.counters;
}

describe.each<{ readonly fault: FaultName; readonly seen: (counters: WireCounters) => number }>([
  { fault: 'corrupt', seen: (c) => sum(c, ['crc-mismatch', 'no-crc', 'not-ascii', 'malformed']) },
  { fault: 'drop', seen: (c) => c.framesRecovered },
  { fault: 'truncate', seen: (c) => sum(c, ['crc-mismatch', 'no-crc', 'not-ascii', 'malformed']) },
  { fault: 'duplicate', seen: (c) => c.framesRepeated },
  { fault: 'garbage', seen: (c) => sum(c, ['not-ascii', 'no-crc', 'line-too-long']) },
])('a line with the fault "$fault"', ({ fault, seen }) => {
  test.each([1, 2, 3])('seed %i: every shot is measured right, and the fault is counted', (seed) => {
    const run = runVirtualRange({ seed, shots: SHOTS, faults: [fault] });
    expect(run.shots).toHaveLength(SHOTS);
    expect(judge(run).wrong).toEqual([]);
    expect(seen(countersOf(run))).toBeGreaterThan(0);
    expect(countersOf(run).framesAwaited).toBe(0);
  });
});

describe.each<FaultName>(['missed-gate', 'double-edge', 'noise-burst'])('a range with the fault "%s"', (fault) => {
  test.each([1, 2, 3])('seed %i: every shot is measured right, and flagged where the fault struck', (seed) => {
    const run = runVirtualRange({ seed, shots: SHOTS, faults: [fault] });
    expect(run.shots).toHaveLength(SHOTS);
    expect(judge(run).wrong).toEqual([]);
    expect(run.shots[0]?.flags.length).toBeGreaterThan(0);
  });
});

test.each([1, 2, 3, 4, 5])('seed %i, everything at once: no shot lost, no wrong velocity without a flag', (seed) => {
  const faults: readonly FaultName[] = ['corrupt', 'drop', 'truncate', 'duplicate', 'garbage', 'fragments', 'double-edge', 'noise-burst'];
  const run = runVirtualRange({ seed, shots: SHOTS, faults });
  expect(run.shots).toHaveLength(SHOTS);
  expect(judge(run).wrongUnflagged).toEqual([]);
});

test.each([1, 2, 3])('seed %i: the wire is out over a firing; the edges are fetched afterwards and the shot is whole', (seed) => {
  const undisturbed = runVirtualRange({ seed, shots: 1 });
  const firedS = undisturbed.truth[0]?.firedAtS ?? 0;
  const run = runVirtualRange({ seed, shots: 1, unplugged: { fromS: firedS - 0.5, toS: firedS + 3 } });
  expect(run.shots).toHaveLength(1);
  expect(run.shots[0]?.flags).toContain('fetched-late');
  expect(judge(run).wrong).toEqual([]);
  expect(run.shots[0]?.passages).toHaveLength(4);
});

const sum = (counters: WireCounters, codes: readonly WireFaultCode[]): number =>
  codes.reduce((total, code) => total + (counters.faults[code] ?? 0), 0);
