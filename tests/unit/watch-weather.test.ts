import { expect, test } from 'vitest';
import { moistAirDensityKgM3, saturationVapourPressurePa, speedOfSoundMps } from '../../host/physics/index.ts';
import { type ChannelWatchSetup, passTime, type WatchSamples, type WatchSetup } from '../../host/pipeline/watches/index.ts';
import type { WatchEvent, WeatherEvent } from '../../protocol/index.ts';
import { runWatches, streamOf } from '../support/watch-courses.ts';

const channels: readonly ChannelWatchSetup[] = [
  { channel: 'airTemperature', standardUncertaintySi: 0.2, driftSiPerS: 0, silentAfterS: 30 },
  { channel: 'airPressure', standardUncertaintySi: 60, driftSiPerS: 0, silentAfterS: 30 },
  { channel: 'airHumidity', standardUncertaintySi: 0.02, driftSiPerS: 0, silentAfterS: 30 },
];
const SETUP: WatchSetup = {
  channels,
  weather: {
    channels: { airTemperature: 'airTemperature', airPressure: 'airPressure', airHumidity: 'airHumidity' },
    staleAfterS: 60,
  },
  limits: [],
};
const isWeather = (event: WatchEvent): event is WeatherEvent => event.type === 'weather';

interface Air {
  readonly temperatureK: number;
  readonly relativeHumidity: number;
}

/** Readings once a second of all three. */
function* readings(lengthS: number, airAt: (s: number) => Air): Generator<WatchSamples> {
  const random = streamOf('weather', 1);
  for (let s = 0; s < lengthS; s++) {
    const { temperatureK, relativeHumidity } = airAt(s);
    const block = (channel: string, value: number, noise: number): WatchSamples => ({
      channel,
      atNs: s * 1e9,
      fromNs: s * 1e9,
      periodNs: 1e9,
      valuesSi: [value + noise * random.normal()],
    });
    yield block('airTemperature', temperatureK, 0.02);
    yield block('airPressure', 98e3, 3);
    yield block('airHumidity', relativeHumidity, 0.002);
  }
}

const STEADY: Air = { temperatureK: 285, relativeHumidity: 0.6 };
/** Warmed with its vapour in it. */
const warmed = (kelvin: number): Air => {
  const temperatureK = STEADY.temperatureK + kelvin;
  const vapourPa = STEADY.relativeHumidity * saturationVapourPressurePa(STEADY.temperatureK);
  return { temperatureK, relativeHumidity: vapourPa / saturationVapourPressurePa(temperatureK) };
};
const inSun = (events: readonly WatchEvent[]) =>
  events.filter(isWeather).filter((event) => event.inputs.some((each) => each.flags.includes('in-sun')));

test('density and speed of sound are those of the air, each within its own uncertainty, with the age of every input', () => {
  const { events } = runWatches(
    readings(60, () => STEADY),
    SETUP,
  );
  const last = events.filter(isWeather).at(-1);
  const air = { ...STEADY, pressurePa: 98e3 };
  expect(Math.abs((last?.densityKgM3?.value ?? 0) - moistAirDensityKgM3(air))).toBeLessThan(
    0.1 * (last?.densityKgM3?.standardUncertainty ?? 0),
  );
  expect(Math.abs((last?.speedOfSoundMps?.value ?? 0) - speedOfSoundMps(air))).toBeLessThan(
    0.1 * (last?.speedOfSoundMps?.standardUncertainty ?? 0),
  );
  // 0.2 K of 285 K and 60 Pa of 98 kPa: 0.07 % and 0.06 %, and a little for the humidity.
  expect((last?.densityKgM3?.standardUncertainty ?? 0) / (last?.densityKgM3?.value ?? 1)).toBeCloseTo(0.00098, 4);
  expect(last?.inputs.map((each) => each.ageS)).toEqual([0.5, 0.5, 0.5].map(() => expect.any(Number)));
  expect(last?.inputs.every((each) => each.flags.length === 0)).toBe(true);
  const perSecond = events.filter(isWeather).length / 60;
  expect(perSecond).toBeLessThanOrEqual(5);
});

test('a sensor that the sun warms is flagged within its climb, and no more once it is in the shade again', () => {
  const sunFromS = 900;
  const shadeFromS = 2400;
  const kelvin = (s: number) =>
    s < sunFromS ? 0 : s < shadeFromS ? 6 * (1 - Math.exp(-(s - sunFromS) / 200)) : 6 * Math.exp(-(s - shadeFromS) / 200);
  const { events } = runWatches(
    readings(3600, (s) => warmed(kelvin(s))),
    SETUP,
  );
  const flagged = inSun(events);
  const first = (flagged[0]?.atNs ?? 0) / 1e9;
  expect(first).toBeGreaterThan(sunFromS);
  expect(first).toBeLessThan(sunFromS + 200);
  expect(flagged[0]?.words).toContain('shade it');
  expect((flagged.at(-1)?.atNs ?? 0) / 1e9).toBeGreaterThan(shadeFromS);
  expect((flagged.at(-1)?.atNs ?? 0) / 1e9).toBeLessThan(3300);
});

test('a clear morning, gusts, and a warm front with its own vapour are weather', () => {
  const morning = (s: number) => warmed((3 * s) / 3600 + 0.4 * Math.sin(s / 40));
  const front = (s: number): Air => ({ temperatureK: 285 + 4 * Math.min(1, Math.max(0, (s - 900) / 600)), relativeHumidity: 0.6 });
  expect(inSun(runWatches(readings(7200, morning), SETUP).events)).toEqual([]);
  expect(inSun(runWatches(readings(3600, front), SETUP).events)).toEqual([]);
});

test('old, missing and unfit inputs are flagged and nothing is computed from them', () => {
  const { state, events } = runWatches(
    readings(60, () => STEADY),
    SETUP,
  );
  expect(events.filter(isWeather)[0]?.words).toContain('There is no air pressure yet');
  const [, disconnected] = passTime(state, SETUP, 95e9);
  const silent = disconnected.filter(isWeather).at(-1);
  expect(silent?.inputs.map((each) => each.flags)).toEqual([['unfit'], ['unfit'], ['unfit']]);
  expect(silent?.inputs.every((each) => each.value === undefined)).toBe(true);
  expect(silent?.densityKgM3).toBeUndefined();
  const patient = { ...SETUP, channels: channels.map((each) => ({ ...each, silentAfterS: 1e6 })) };
  const [, old] = passTime(state, patient, 200e9);
  const stale = old.filter(isWeather).at(-1);
  expect(stale?.inputs.every((each) => each.flags.includes('stale'))).toBe(true);
  expect(stale?.densityKgM3).toBeUndefined();
  expect(stale?.words).toContain('old');
});

test('a thermometer that stands still to the bit is not used', () => {
  function* stuck(): Generator<WatchSamples> {
    for (const block of readings(400, () => STEADY)) {
      yield block.channel === 'airTemperature' && block.atNs > 200e9 ? { ...block, valuesSi: [285.37] } : block;
    }
  }
  const last = runWatches(stuck(), SETUP).events.filter(isWeather).at(-1);
  expect(last?.inputs[0]?.flags).toContain('unfit');
  expect(last?.densityKgM3).toBeUndefined();
});
