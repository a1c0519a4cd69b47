/** What a board says of how an edge was stamped, and the rig file of what such a stamp is good for, as it reaches the velocity. */
import { expect, test } from 'vitest';
import { standardUncertainty } from '../../host/metrology/index.ts';
import { INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import { reduceEdges } from '../../host/pipeline/reduce-edges.ts';
import { loadRig, type Rig } from '../../host/rig/index.ts';
import type { PosternRecord, Shot } from '../../protocol/index.ts';
import { decodeBoardLine, encodeMessage } from '../../protocol/index.ts';
import { claimedShot } from '../support/claimed-shots.ts';
import { HERON_RIG, HERON_TEXT } from '../support/heron.ts';
import { known } from '../support/known.ts';
import { runVirtualRange, type VirtualOptions } from '../support/virtual-range.ts';

const TICK_RATE = 'tickRate: 16 MHz ± 50 ppm rect';

/** Heron with these lines beside its gate board's tick rate. */
function rigTextWith(...lines: readonly string[]): string {
  expect(HERON_TEXT.split(TICK_RATE)).toHaveLength(2);
  return HERON_TEXT.replace(TICK_RATE, [TICK_RATE, ...lines].join('\n    '));
}

function rigWith(...lines: readonly string[]): Rig {
  const loaded = loadRig(rigTextWith(...lines), 'heron.yaml');
  if (!loaded.ok) throw new Error(loaded.problems.map(({ message }) => message).join('\n'));
  return loaded.rig;
}

test('what is left out of the rig file is the default; what stands there is read in SI', () => {
  expect(HERON_RIG.boards[0]).toMatchObject({
    capture: { delayS: { value: 0, standardUncertainty: expect.closeTo(62.5e-9 / Math.sqrt(3), 14) }, jitterS: 0 },
    software: {
      delayS: { value: expect.closeTo(5e-6, 14), standardUncertainty: expect.closeTo(5e-6 / Math.sqrt(3), 12) },
      jitterS: expect.closeTo(2e-6, 14),
    },
    analogBits: 16,
  });
  expect(rigWith('capture: { delay: 0.2 us ± 20 ns }', 'software: { jitter: 3 us }').boards[0]).toMatchObject({
    capture: { delayS: { value: expect.closeTo(0.2e-6, 14), standardUncertainty: expect.closeTo(10e-9, 14) }, jitterS: 0 },
    software: { delayS: { value: expect.closeTo(5e-6, 14) }, jitterS: expect.closeTo(3e-6, 14) },
  });
});

test.each([
  ['capture: { delay: 0.2 us }', 'boards.gate-board.capture.delay', /±/],
  ['capture: { jitter: -1 ns }', 'boards.gate-board.capture.jitter', /must not be negative/],
  ['software: { delai: 1 us ± 1 us }', 'boards.gate-board.software.delai', /did you mean "delay"/],
  ['analogBits: 17', 'boards.gate-board.analogBits', /whole number from 8 to 16/],
])('%s is told with its place', (line, place, message) => {
  const loaded = loadRig(rigTextWith(line), 'heron.yaml');
  expect(loaded.ok ? [] : loaded.problems).toMatchObject([{ path: place, message: expect.stringMatching(message) }]);
});

test('a converter of ten bits is at its end at 1023 counts', () => {
  const text = rigTextWith('analogBits: 10').replace(/\[6553, 0 (M|k)Pa (\w+)\], \[58981,/g, '[101.9, 0 $1Pa $2], [921.1,');
  const loaded = loadRig(text, 'heron.yaml');
  expect(loaded.ok && loaded.rig.channels[0]?.conversion).toMatchObject({ bounds: { railLow: 0, railHigh: 1023 } });
  const wrong = loadRig(rigTextWith('analogBits: 10'), 'heron.yaml');
  expect(wrong.ok ? '' : wrong.problems.map(({ path }) => path).join(' ')).toContain('reservoirPressure.calibration');
});

const termOf = (shot: Shot, input: string) => known(shot.muzzleVelocityMps).budget.find((line) => line.input === input);

test('the delay of a stamp is subtracted, and its uncertainty stands in the budget of the velocity', () => {
  const { input, reduction } = claimedShot(HERON_RIG, { seed: 1 });
  const wide = rigWith('capture: { delay: 0 us ± 2 us std, jitter: 1 us }');
  const widened = reduceEdges(input.timed, wide, input.air, input.time);
  const [narrowU, wideU] = [reduction, widened.reduction].map((each) => standardUncertainty(known(each).muzzleVelocityMps));
  expect(known(wideU)).toBeGreaterThan(3 * known(narrowU));
  const terms = known(widened.reduction).muzzleVelocityMps.terms;
  expect(terms.find((term) => term.input === 'gate A1 stamp delay')?.standardUncertainty).toBeCloseTo(2e-6, 12);
  // Two edges of equal jitter: their mean has √½ of it.
  expect(terms.find((term) => term.input === 'gate A1 stamp jitter')?.standardUncertainty).toBeCloseTo(1e-6 / Math.SQRT2, 12);
});

test('without jitter there is no term of it, and with a lone edge it counts in full', () => {
  const { input } = claimedShot(HERON_RIG, { seed: 1 });
  const rig = rigWith('capture: { jitter: 1 us }');
  const lone = input.timed.filter((edge) => edge.gateIndex !== 0 || edge.active);
  const [plain, one] = [reduceEdges(input.timed, HERON_RIG, input.air, input.time), reduceEdges(lone, rig, input.air, input.time)];
  expect(known(plain.reduction).muzzleVelocityMps.terms.filter((term) => term.input.endsWith('stamp jitter'))).toEqual([]);
  const jitter = known(one.reduction).muzzleVelocityMps.terms.find((term) => term.input === 'gate A1 stamp jitter');
  expect(jitter?.standardUncertainty).toBeCloseTo(1e-6, 12);
});

/** One shot of the simulated range, then the same records with some edges said to be stamped by the program. */
const OPTIONS: VirtualOptions = { seed: 7, shots: 1 };

function replayed(records: readonly PosternRecord[]): readonly Shot[] {
  const shots: Shot[] = [];
  let state: PipelineState = INITIAL_STATE;
  for (const record of records) {
    const [next, events] = step(state, record);
    state = next;
    for (const event of events) if (event.type === 'shot' && event.phase === 'closed') shots.push(event.shot);
  }
  return shots;
}

function asSoftware(records: readonly PosternRecord[], isIt: (input: number) => boolean): readonly PosternRecord[] {
  return records.map((record) => {
    if (record.kind !== 'line' || record.source !== 'gate-board') return record;
    const decoded = decodeBoardLine(Buffer.from(record.bytes).toString('latin1'));
    if (!decoded.ok || decoded.value.kind !== 'EDGE' || !isIt(decoded.value.input)) return record;
    const { seq, ...message } = decoded.value;
    return { ...record, bytes: Buffer.from(encodeMessage({ ...message, hardwareTimed: false }, seq), 'latin1') };
  });
}

test('a gate whose edges the program stamped is flagged, corrected and less sure; the trigger alone is not', () => {
  const run = runVirtualRange(OPTIONS);
  const before = known(run.shots[0]);
  const trigger = known(replayed(asSoftware(run.records, (input) => input === 0))[0]);
  expect([before.flags, trigger.flags]).toEqual([[], []]);
  expect(trigger.muzzleVelocityMps).toEqual(before.muzzleVelocityMps);

  const shot = known(replayed(asSoftware(run.records, (input) => input === 1))[0]);
  expect(shot.flags).toEqual(['software-timed']);
  const earlierS = known(before.passages[0]).timeS - known(shot.passages[0]).timeS;
  expect(earlierS).toBeCloseTo(5e-6, 10);
  expect(termOf(shot, 'gate A1 stamp delay')?.standardUncertainty).toBeCloseTo(5e-6 / Math.sqrt(3), 10);
  expect(termOf(shot, 'gate A1 stamp jitter')?.standardUncertainty).toBeCloseTo(2e-6 / Math.SQRT2, 10);
  expect(termOf(shot, 'gate A2 stamp delay')?.standardUncertainty).toBeCloseTo(62.5e-9 / Math.sqrt(3), 12);
  expect(known(shot.passages[0]).timeStandardUncertaintyS).toBeGreaterThan(5 * known(before.passages[0]?.timeStandardUncertaintyS));
  // What it lost in trust the velocity has too, and it still holds what was so.
  const truth = known(run.truth[0]);
  const [was, is] = [known(before.muzzleVelocityMps), known(shot.muzzleVelocityMps)];
  expect(is.standardUncertainty).toBeGreaterThan(1.05 * was.standardUncertainty);
  expect(Math.abs(is.value - truth.muzzleVelocityMps)).toBeLessThan(4 * is.standardUncertainty);
});
