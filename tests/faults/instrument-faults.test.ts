/** Faults of the range's instruments by name: each is seen for what it is, and no shot is the worse for it without a flag. */
import { describe, expect, test } from 'vitest';
import type { FaultName } from '../../firmware-sim/faults.ts';
import type { PipelineEvent, SamplesEvent } from '../../protocol/index.ts';
import { known } from '../support/known.ts';
import { runVirtualRange, type VirtualRun } from '../support/virtual-range.ts';

const run = (seed: number, fault: FaultName, shots = 2): VirtualRun =>
  runVirtualRange({ seed, shots, faults: [fault], setPoints: 'target' });
/** Half way to the first firing. */
const strikesNs = ({ truth }: VirtualRun): number => (known(truth[0]).firedAtS / 2) * 1e9;
const samplesOf = ({ events }: VirtualRun, channel: string): readonly SamplesEvent[] =>
  events.filter((event): event is SamplesEvent => event.type === 'samples' && event.channel === channel);
const valuesOf = (from: VirtualRun, channel: string): readonly number[] => samplesOf(from, channel).flatMap(({ valuesSi }) => valuesSi);
const has = ({ events }: VirtualRun, isWanted: (event: PipelineEvent) => boolean): boolean => events.some(isWanted);

function expectShotsTrue({ shots, truth }: VirtualRun, count: number): void {
  expect(shots).toHaveLength(count);
  for (const [i, { muzzleVelocityMps }] of shots.entries()) {
    const { value, standardUncertainty } = known(muzzleVelocityMps);
    expect(Math.abs(value - known(truth[i]).muzzleVelocityMps)).toBeLessThan(4 * standardUncertainty);
  }
}

test.each([1, 2, 3])('seed %i, silent-weather: heard until then, then called disconnected; its last reading still serves', (seed) => {
  const found = run(seed, 'silent-weather', 3);
  const heard = found.records.filter(({ source }) => source === 'weather-board').map(({ atNs }) => atNs);
  expect(heard.length).toBeGreaterThan(20);
  expect(Math.max(...heard)).toBeLessThan(strikesNs(found) + 0.1e9);
  for (const channel of ['barrelVacuum', 'airTemperature'])
    expect(has(found, (event) => event.type === 'health' && event.channel === channel && event.health === 'disconnected')).toBe(true);
  expectShotsTrue(found, 3);
  for (const { air } of found.shots) expect(air.temperatureK).toMatchObject({ origin: 'measured', ageS: expect.any(Number) });
});

test.each([1, 2, 3])('seed %i, stuck-gauge: the gauge shows the same to the last digit, and the transducer beside it does not', (seed) => {
  const found = run(seed, 'stuck-gauge');
  // The air is added to what a gauge prints, and moves: the lines themselves are what stands still.
  const lines = found.records.flatMap((record) => (record.kind === 'line' && record.source === 'fill-gauge' ? [record] : []));
  const texts = (from: number, to: number) =>
    lines.filter(({ atNs }) => atNs > from && atNs <= to).map(({ bytes }) => Buffer.from(bytes).toString('latin1'));
  const stuckNs = strikesNs(found) + 0.1e9;
  expect(new Set(texts(0, stuckNs)).size).toBeGreaterThan(3);
  expect(texts(stuckNs, Number.POSITIVE_INFINITY).length).toBeGreaterThan(10);
  expect(new Set(texts(stuckNs, Number.POSITIVE_INFINITY)).size).toBe(1);
  expectShotsTrue(found, 2);
});

test('stuck-gauge, at the real pace: a warning within seconds of the reservoir being elsewhere, and none before', () => {
  const isWarning = (event: PipelineEvent) => event.type === 'limit' && event.id === 'fillGauge-against-reservoirPressure';
  const options = { seed: 1, shots: 2, pace: 'real', setPoints: 'target', untilS: 250 } as const;
  const found = runVirtualRange({ ...options, faults: ['stuck-gauge'] });
  const firedS = known(found.shots[0]).firedAtNs / 1e9;
  const [warning] = found.events.filter(isWarning);
  expect(warning).toMatchObject({ state: 'active', severity: 'warning', words: expect.stringContaining('one of them is wrong') });
  expect(known(warning).atNs / 1e9 - firedS).toBeGreaterThan(0);
  expect(known(warning).atNs / 1e9 - firedS).toBeLessThan(10);
  expect(runVirtualRange(options).events.filter(isWarning)).toEqual([]);
});

test.each([1, 2, 3])('seed %i, garbled-text: what cannot be read is counted, and what is read was meant', (seed) => {
  const [found, sound] = [run(seed, 'garbled-text', 4), runVirtualRange({ seed, shots: 4, setPoints: 'target' })];
  const told = known(found.events.findLast((event) => event.type === 'text-lines'));
  expect(Object.values(told.unread).reduce((sum, count) => sum + count, 0)).toBeGreaterThan(0);
  for (const source of ['fill-gauge', 'wind-meter']) {
    const meant = new Set(linesOf(sound, source));
    const read = linesOf(found, source).filter((line) => /^(P=-?\d+\.\d{3} bar|W [-+]\d+\.\d\d m\/s)$/.test(line));
    expect(read.length).toBeGreaterThan(15);
    expect(read.filter((line) => !meant.has(line))).toEqual([]);
    expect(linesOf(found, source).length - read.length).toBeGreaterThan(3);
  }
  expect(Math.max(...valuesOf(found, 'tailwind').map(Math.abs))).toBeLessThan(4);
  expectShotsTrue(found, 4);
});

const linesOf = ({ records }: VirtualRun, source: string): readonly string[] =>
  records.flatMap((record) =>
    record.kind === 'line' && record.source === source ? [Buffer.from(record.bytes).toString('latin1').replace(/\r$/, '')] : [],
  );

test.each([1, 2, 3])('seed %i, wrong-device: nothing that it prints becomes weather, and the shots say that the air is assumed', (seed) => {
  const found = run(seed, 'wrong-device');
  expect(valuesOf(found, 'airTemperature')).toEqual([]);
  expect(valuesOf(found, 'barrelVacuum')).toEqual([]);
  expectShotsTrue(found, 2);
  for (const { flags } of found.shots) expect(flags).toContain('air-assumed');
});

test.each([1, 2, 3])(
  'seed %i, sun-on-sensor: the watch says that the sensor stands in the sun, and a shot from then on is flagged and wider',
  (seed) => {
    const found = run(seed, 'sun-on-sensor', 10);
    const inSun = (event: PipelineEvent): boolean =>
      event.type === 'weather' && event.inputs.some(({ role, flags }) => role === 'airTemperature' && flags.includes('in-sun'));
    const since = known(found.events.find(inSun)).atNs;
    const late = found.shots.flatMap((shot, i) => (shot.firedAtNs > since ? [{ shot, truth: known(found.truth[i]) }] : []));
    expect(late.length).toBeGreaterThan(0);
    for (const { shot, truth } of late) {
      expect(shot.flags).toContain('air-in-sun');
      const { temperatureK, relativeHumidity } = shot.air;
      expect(Math.abs(temperatureK.value - truth.air.temperatureK)).toBeLessThan(2.5 * temperatureK.standardUncertainty);
      expect(Math.abs(relativeHumidity.value - truth.air.relativeHumidity)).toBeLessThan(2.5 * relativeHumidity.standardUncertainty);
      const mach = known(shot.mach);
      expect(Math.abs(mach.value - truth.muzzleMach)).toBeLessThan(2.5 * mach.standardUncertainty);
    }
    expect(has(runVirtualRange({ seed, shots: 10, setPoints: 'target' }), inSun)).toBe(false);
  },
);

describe('with nothing wrong', () => {
  const SEEDS = Array.from({ length: 40 }, (_, i) => i + 1);
  const runs = SEEDS.map((seed) => runVirtualRange({ seed, shots: 1 }));

  test.each([
    ['air temperature', (r: VirtualRun) => [known(r.shots[0]).air.temperatureK, known(r.truth[0]).air.temperatureK]],
    ['air pressure', (r: VirtualRun) => [known(r.shots[0]).air.pressurePa, known(r.truth[0]).air.pressurePa]],
    ['air humidity', (r: VirtualRun) => [known(r.shots[0]).air.relativeHumidity, known(r.truth[0]).air.relativeHumidity]],
    ['reservoir pressure', (r: VirtualRun) => [known(r.shots[0]).reservoirPressurePa, known(r.truth[0]).reservoirPressurePa]],
    ['barrel pressure', (r: VirtualRun) => [known(r.shots[0]).barrelPressurePa, known(r.truth[0]).barrelPressurePa]],
  ] as const)('%s at the firing lies where its uncertainty says', (_, of) => {
    const scores = runs.map((each) => {
      const [latched, truth] = of(each);
      expect(latched).toMatchObject({ origin: 'measured' });
      const { value, standardUncertainty } = latched as { value: number; standardUncertainty: number };
      return (value - (truth as number)) / standardUncertainty;
    });
    expectStandard(scores);
  });

  test('Mach number, with the wind that the anemometer saw, lies where its uncertainty says', () => {
    expectStandard(
      runs.map(({ shots, truth }) => {
        const { value, standardUncertainty } = known(known(shots[0]).mach);
        return (value - known(truth[0]).muzzleMach) / standardUncertainty;
      }),
    );
  });

  test('shots have no flag of an instrument, and no channel a fault but the barrel’s, at the end of its range in a hard shot', () => {
    expect(runs.flatMap(({ shots }) => known(shots[0]).flags)).toEqual([]);
    const faulty = runs.flatMap(({ events }) =>
      events.flatMap((event) => (event.type === 'health' && event.health !== 'healthy' ? [event.channel] : [])),
    );
    expect([...new Set(faulty)]).toEqual(['barrelPressure']);
  });
});

/** Of 40 scores: the instruments fill their claims or stay below, and none lies far outside. */
function expectStandard(scores: readonly number[]): void {
  const rms = Math.sqrt(scores.reduce((sum, score) => sum + score * score, 0) / scores.length);
  expect(rms).toBeGreaterThan(0.4);
  expect(rms).toBeLessThan(1.35);
  expect(Math.max(...scores.map(Math.abs))).toBeLessThan(4);
}
