/** What the terminal says of boards and shots: each thing once. */
import { expect, test } from 'vitest';
import { ShotCount } from '../../host/cli/demo/shot-count.ts';
import { EventLines } from '../../host/cli/text/event-lines.ts';
import type { BoardEvent, ClockEvent, HoldPointState, PipelineEvent, WeatherFlag } from '../../protocol/index.ts';
import { openingEvents } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';

const board = (more: Partial<BoardEvent> = {}): BoardEvent => ({
  type: 'board',
  atNs: 1e9,
  source: 'gate-board',
  boardId: 'CS-GB-01',
  bootId: 7,
  resetCause: 'power',
  tickRateHz: 10e6,
  restarted: false,
  problem: '',
  ...more,
});
const clock = (exchanges: number): ClockEvent => ({
  type: 'clock',
  atNs: 1.1e9,
  source: 'gate-board',
  exchanges,
  rateErrorPpm: 12,
  rateStandardUncertaintyPpm: 3,
  offsetS: 0.25,
  offsetStandardUncertaintyS: 42e-6,
  roundTripS: 1e-3,
});
const told = (events: readonly PipelineEvent[]): readonly string[] => {
  const lines = new EventLines();
  return events.flatMap((event) => lines.of(event)).map(({ text, isTrouble }) => `${isTrouble ? '! ' : ''}${text}`);
};

test('a board and its clock are told once, and again after a restart', () => {
  const fitted = "Clock of board gate-board is fitted to this computer's; each further exchange refines it";
  expect(told([board(), board(), clock(1), clock(2), clock(3), board(), clock(4)])).toEqual(['Board gate-board is CS-GB-01', fitted]);
  expect(told([board(), clock(2), board({ restarted: true, bootId: 8 }), clock(1), clock(2)])).toEqual([
    'Board gate-board is CS-GB-01',
    fitted,
    'Board gate-board has started anew (cause: power); its clock is fitted afresh.',
    fitted,
  ]);
});

test('a problem of a board is told once, and anew when it is another or comes back', () => {
  const wrong = board({ boardId: 'CS-GB-02', problem: 'wrong board' });
  expect(told([wrong, wrong, wrong])).toEqual(['Board gate-board is CS-GB-02', '! Board gate-board: wrong board']);
  const off = board({ problem: 'wrong rate' });
  expect(told([off, off, board(), off])).toEqual([
    'Board gate-board is CS-GB-01',
    '! Board gate-board: wrong rate',
    '! Board gate-board: wrong rate',
  ]);
});

test('a shot that is closed again is told as such', () => {
  const shot = (number: number): PipelineEvent => ({ type: 'shot', atNs: 5e9, phase: 'closed', shot: fakeShot({ number }) });
  const lines = told([shot(1), shot(2), shot(1)]);
  expect(lines.map((line) => /^(Again, .*: )?Shot \d/.exec(line)?.[0])).toEqual(['Shot 1', 'Shot 2', 'Again, with what came late: Shot 1']);
});

test('a demo counts shots, not closings, and a range that ends early ends its waiting', async () => {
  const count = new ShotCount(2, 'fast');
  count.start();
  count.count(1);
  count.count(1);
  expect(count.missing).toBe(1);
  count.count(2);
  await count.reached;
  const waiting = new ShotCount(1, 'fast');
  waiting.start();
  waiting.fail(new Error('the range has ended'));
  await expect(waiting.reached).rejects.toThrow('the range has ended');
  waiting.close();
});

test('lines of an instrument that cannot be read are told at the first, and again when they are ten times as many', () => {
  const lines = (unread: number): PipelineEvent => ({
    type: 'text-lines',
    atNs: 1e9,
    source: 'fill-gauge',
    lines: 2 * unread + 5,
    linesPerS: 2,
    gaps: 0,
    unread: unread === 0 ? {} : { 'no-match': unread },
    lastUnread: 'P=??',
  });
  expect(told([lines(0), lines(1), lines(2), lines(9), lines(10), lines(99)])).toEqual([
    '! Instrument fill-gauge: 1 of 7 lines could not be read, the last: P=??',
    '! Instrument fill-gauge: 10 of 25 lines could not be read, the last: P=??',
  ]);
});

test('a leak is told once a hold, and only where it is surely more than the crew want to be able to see', () => {
  const steady = (fromNs: number, leakPa: number): PipelineEvent => ({
    type: 'fill',
    atNs: fromNs + 60e9,
    channel: 'reservoirPressure',
    phase: 'steady',
    phaseSinceNs: fromNs,
    pressurePa: { value: 1.2e6, standardUncertainty: 1, expandedUncertainty: 2 },
    bandPa: 20e3,
    hold: {
      fromNs,
      durationS: 60,
      leakPaPerS: { value: leakPa, standardUncertainty: 10, expandedUncertainty: 20 },
      smallestLeakSeenPaPerS: 36,
      leakToSeePaPerS: 50,
    },
    words: `Losing ${leakPa} Pa/s.`,
  });
  expect(told([steady(1, 30), steady(1, 69), steady(1, 71), steady(1, 90), steady(2, 80)])).toEqual([
    '! Leak: Losing 71 Pa/s.',
    '! Leak: Losing 80 Pa/s.',
  ]);
});

test('what the crew did is told once, and a firing takes their ticks back in one line', () => {
  const point = (id: string, done: boolean, more: Partial<HoldPointState> = {}): HoldPointState => ({
    id,
    name: `Point ${id}`,
    by: 'crew',
    done,
    sinceNs: 0,
    who: done ? 'Ane' : '',
    detail: '',
    ...more,
  });
  const list = (...points: readonly HoldPointState[]): PipelineEvent => ({
    type: 'hold-points',
    atNs: 1e9,
    ready: points.every(({ done }) => done),
    points,
  });
  const back = { detail: 'taken back when shot 1 was fired' };
  const beams = { by: 'condition', who: '' } as const;
  expect(
    told([
      list(point('a', false), point('b', false), point('beams', false, beams)),
      list(point('a', true), point('b', false), point('beams', true, beams)),
      list(point('a', true), point('b', true), point('beams', true, beams)),
      list(point('a', true), point('b', true), point('beams', true, beams)),
      list(point('a', false, back), point('b', false, back), point('beams', true, beams)),
    ]),
  ).toEqual([
    'Hold point done: Point a (Ane).',
    'Hold point done: Point beams.',
    'Hold point done: Point b (Ane).',
    'READY: every hold point is done. This is a list and no interlock.',
    'Hold points open again: Point a; Point b (taken back when shot 1 was fired).',
    'HOLD: Point a; Point b.',
  ]);
  const before = { gain: 1, offsetSi: 0 };
  const impacts = (...at: readonly (readonly [string, number, number])[]): PipelineEvent => ({
    type: 'impacts',
    atNs: 1e9,
    impacts: at.map(([shotId, rightM, upM]) => ({ shotId, at: { rightM, upM } })),
    aim: { rightM: 0, upM: 0.01 },
  });
  expect(
    told([
      ...openingEvents('2026-03-14T09:30:00.000000Z').filter(({ type }) => type === 'session'),
      { type: 'adjusted', atNs: 1e9, channel: 'barrelPressure', act: 'zero', before, after: { gain: 1, offsetSi: -1200 }, who: 'Bo' },
      { type: 'note', atNs: 1e9, text: 'film changed', who: 'Cai' },
      { type: 'shot-excluded', atNs: 1e9, shotId: 's-001', excluded: true, reason: 'film torn', who: 'Cai' },
      impacts(),
      impacts(['s-001', -0.012, 0.004]),
      impacts(['s-001', -0.012, 0.004], ['s-002', 0.003, -0.001]),
    ]),
  ).toEqual([
    'Channel barrelPressure set to zero by Bo: gain 1.00000, offset 0 Pa before, gain 1.00000, offset −1.2 kPa now.',
    'Note by Cai: film changed',
    'Shot s-001 left out by Cai: film torn.',
    'Aim: 0.0 mm right and 10.0 mm above of the point to be hit.',
    'Impact of shot s-001: 12.0 mm left and 4.0 mm above of the point to be hit.',
    'Impact of shot s-002: 3.0 mm right and 1.0 mm below of the point to be hit.',
  ]);
});

test('an input of the air that becomes unusable is told, and that it is usable again', () => {
  const weather = (...flags: WeatherFlag[]): PipelineEvent => ({
    type: 'weather',
    atNs: 1e9,
    inputs: [{ role: 'airTemperature', flags }],
    words: '',
  });
  expect(told([weather('missing'), weather(), weather(), weather('in-sun'), weather('in-sun'), weather()])).toEqual([
    '! airTemperature is read in the sun.',
    'airTemperature is usable again.',
  ]);
});
