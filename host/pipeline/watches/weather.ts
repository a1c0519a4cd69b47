/** The weather watch: density and speed of sound of the air at the range, and which of its inputs to doubt. */
import type { Latched, Measured, SessionNs, WeatherEvent, WeatherFlag, WeatherInput, WeatherRole } from '../../../protocol/index.ts';
import { standardUncertainty } from '../../metrology/index.ts';
import { estimateMoistAir } from '../air.ts';
import { type Bin, type Binning, binSamples, NO_BINS } from './bins.ts';
import { measured } from './measured.ts';
import type { ChannelWatchSetup, WatchSamples, WeatherSetup } from './setup.ts';
import { IN_SHADE, type SunState, sunDoubt, takeSun } from './sun.ts';
import { spanText } from './words.ts';

interface WeatherChannel {
  readonly binning: Binning;
  /** Seconds, at most 10. */
  readonly recent: readonly Bin[];
}

/** Three channels of 10 bins, and 120 points of the sun watch: some 5 kB. */
export interface WeatherState {
  readonly channels: Readonly<Partial<Record<WeatherRole, WeatherChannel>>>;
  readonly sun: SunState;
  readonly sunPointNs: SessionNs;
  readonly toldAtNs: SessionNs;
  /** Flags as they were last told. */
  readonly toldFlags: string;
}

export const NEW_WEATHER: WeatherState = {
  channels: {},
  sun: IN_SHADE,
  sunPointNs: Number.NEGATIVE_INFINITY,
  toldAtNs: Number.NEGATIVE_INFINITY,
  toldFlags: '',
};

export const WEATHER_ROLES: readonly WeatherRole[] = ['airTemperature', 'airPressure', 'airHumidity'];
const NAMES: Readonly<Record<WeatherRole, string>> = {
  airTemperature: 'air temperature',
  airPressure: 'air pressure',
  airHumidity: 'air humidity',
};
const UNITS: Readonly<Record<WeatherRole, string>> = { airTemperature: 'K', airPressure: 'Pa', airHumidity: '1' };
const BIN_NS = 1e9;
const BINS_MAX = 10;
const SUN_EVERY_NS = 10e9;
const TELL_EVERY_NS = 1e9;

/** What the watch must know of a channel beside its samples. */
export interface WeatherChannels {
  readonly setupOf: (channel: string) => ChannelWatchSetup;
  readonly isUnfit: (channel: string) => boolean;
}

type WeatherStep = readonly [WeatherState, readonly WeatherEvent[]];

/** Samples of a healthy channel of the weather. */
export function takeWeather(state: WeatherState, setup: WeatherSetup, channels: WeatherChannels, samples: WatchSamples): WeatherStep {
  const role = WEATHER_ROLES.find((each) => setup.channels[each] === samples.channel);
  if (!role) return [state, []];
  const before = state.channels[role] ?? { binning: NO_BINS, recent: [] };
  const [binning, bins] = binSamples(before.binning, samples, BIN_NS);
  const newest = bins.at(-1)?.toNs ?? 0;
  // What is older than a minute belongs to other weather.
  const recent = [...before.recent, ...bins].filter((bin) => newest === 0 || newest - bin.toNs < 60e9).slice(-BINS_MAX);
  const taken = { ...state, channels: { ...state.channels, [role]: { binning, recent } } };
  return passWeatherTime(withSun(taken, samples.atNs), setup, channels, samples.atNs);
}

function withSun(state: WeatherState, atNs: SessionNs): WeatherState {
  if (atNs - state.sunPointNs < SUN_EVERY_NS) return state;
  const temperatureK = meanOf(state.channels.airTemperature);
  const relativeHumidity = meanOf(state.channels.airHumidity);
  if (temperatureK === undefined || relativeHumidity === undefined) return state;
  return { ...state, sun: takeSun(state.sun, { atNs, temperatureK, relativeHumidity }), sunPointNs: atNs };
}

/** Tells once a second, and at once when a flag comes or goes. */
export function passWeatherTime(state: WeatherState, setup: WeatherSetup, channels: WeatherChannels, atNs: SessionNs): WeatherStep {
  const flags = flagsOf(state, setup, channels, atNs);
  const flagText = WEATHER_ROLES.map((role) => flags[role].join('+')).join(' ');
  if (flagText === state.toldFlags && atNs - state.toldAtNs < TELL_EVERY_NS) return [state, []];
  return [{ ...state, toldAtNs: atNs, toldFlags: flagText }, [describe(state, setup, channels, flags, atNs)]];
}

type Flags = Readonly<Record<WeatherRole, readonly WeatherFlag[]>>;

function flagsOf(state: WeatherState, setup: WeatherSetup, channels: WeatherChannels, atNs: SessionNs): Flags {
  const of = (role: WeatherRole): readonly WeatherFlag[] => {
    const ageS = ageOf(state.channels[role], atNs);
    return [
      ...(channels.isUnfit(setup.channels[role]) ? (['unfit'] as const) : []),
      ...(ageS === undefined ? (['missing'] as const) : ageS > setup.staleAfterS ? (['stale'] as const) : []),
      ...(state.sun.shadeK !== undefined && role !== 'airPressure' ? (['in-sun'] as const) : []),
    ];
  };
  return { airTemperature: of('airTemperature'), airPressure: of('airPressure'), airHumidity: of('airHumidity') };
}

function describe(state: WeatherState, setup: WeatherSetup, channels: WeatherChannels, flags: Flags, atNs: SessionNs): WeatherEvent {
  const values = {
    airTemperature: readingOf(state, setup, channels, 'airTemperature'),
    airPressure: readingOf(state, setup, channels, 'airPressure'),
    airHumidity: readingOf(state, setup, channels, 'airHumidity'),
  };
  const inputs = WEATHER_ROLES.map((role): WeatherInput => {
    const ageS = ageOf(state.channels[role], atNs);
    // A number from a transducer that is not healthy is not shown, however old.
    const value = flags[role].includes('unfit') ? undefined : values[role];
    return { role, flags: flags[role], ...(value ? { value } : {}), ...(ageS === undefined ? {} : { ageS }) };
  });
  const isUsable = inputs.every((each) => each.value && !each.flags.includes('stale'));
  const air = isUsable ? airOf(inputs) : undefined;
  return { type: 'weather', atNs, inputs, ...air, words: weatherWords(inputs, air) };
}

function airOf(inputs: readonly WeatherInput[]): { readonly densityKgM3: Measured; readonly speedOfSoundMps: Measured } {
  const latched = (role: WeatherRole, low: number, high: number): Latched => {
    const found = inputs.find((each) => each.role === role);
    const { value = Number.NaN, standardUncertainty: u = 0 } = found?.value ?? {};
    return {
      value: Math.min(high, Math.max(low, value)),
      unit: UNITS[role],
      standardUncertainty: u,
      ageS: found?.ageS ?? 0,
      origin: 'measured',
    };
  };
  const { densityKgM3: density, speedOfSoundMps: sound } = estimateMoistAir({
    airTemperatureK: latched('airTemperature', 200, 335),
    airPressurePa: latched('airPressure', 20e3, 120e3),
    airHumidity: latched('airHumidity', 0, 1),
  });
  return {
    densityKgM3: measured(density.value, standardUncertainty(density)),
    speedOfSoundMps: measured(sound.value, standardUncertainty(sound)),
  };
}

const meanOf = (channel: WeatherChannel | undefined): number | undefined =>
  channel && channel.recent.length > 0 ? channel.recent.reduce((sum, bin) => sum + bin.mean, 0) / channel.recent.length : undefined;

const ageOf = (channel: WeatherChannel | undefined, atNs: SessionNs): number | undefined => {
  const newest = channel?.recent.at(-1);
  return newest && Math.max(0, (atNs - newest.toNs) / 1e9);
};

function readingOf(state: WeatherState, setup: WeatherSetup, channels: WeatherChannels, role: WeatherRole): Measured | undefined {
  const channel = state.channels[role];
  const mean = meanOf(channel);
  if (!channel || mean === undefined) return undefined;
  const count = channel.recent.reduce((sum, bin) => sum + bin.count, 0);
  const scatter = channel.binning.noise.deviation / Math.sqrt(count);
  return measured(mean, channels.setupOf(setup.channels[role]).standardUncertaintySi, scatter, sunDoubtOf(state, role));
}

function sunDoubtOf({ sun, channels }: WeatherState, role: WeatherRole): number {
  const [temperatureK, relativeHumidity] = [meanOf(channels.airTemperature), meanOf(channels.airHumidity)];
  if (role === 'airPressure' || temperatureK === undefined || relativeHumidity === undefined) return 0;
  const doubt = sunDoubt(sun, { temperatureK, relativeHumidity });
  return role === 'airTemperature' ? doubt.temperatureK : doubt.relativeHumidity;
}

function weatherWords(inputs: readonly WeatherInput[], air: ReturnType<typeof airOf> | undefined): string {
  const doubts = inputs.flatMap(({ role, flags, ageS }) =>
    flags.filter((flag) => flag !== 'in-sun').map((flag) => doubtWords(role, flag, ageS)),
  );
  const sun = inputs.some((each) => each.flags.includes('in-sun'))
    ? ['The sensor stands in the sun, as it seems: it warms faster than air does while its vapour pressure holds still; shade it.']
    : [];
  const numbers = air
    ? `Air density ${air.densityKgM3.value.toFixed(4)} kg/m³, speed of sound ${air.speedOfSoundMps.value.toFixed(2)} m/s.`
    : 'No density and no speed of sound.';
  return [numbers, ...doubts, ...sun].join(' ');
}

function doubtWords(role: WeatherRole, flag: WeatherFlag, ageS: number | undefined): string {
  if (flag === 'missing') return `There is no ${NAMES[role]} yet.`;
  if (flag === 'unfit') return `The ${NAMES[role]} is not used: its transducer is not healthy.`;
  return `The ${NAMES[role]} is ${spanText(ageS ?? 0)} old.`;
}
