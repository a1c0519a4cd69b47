/** The state just before a firing: what each channel said, how old it was, how sure it is. */
import type { ChannelRole, Health, Latched } from '../../protocol/index.ts';
import { hostNs } from '../metrology/index.ts';
import type { AssumedAir, Channel, Rig } from '../rig/index.ts';
import { meanBetween, newestBefore, type SampleStatistics } from './channel-history.ts';
import type { LatchedState } from './latched-state.ts';
import { readingOf } from './reading-of.ts';
import type { PipelineState } from './state.ts';
import { clockOf } from './time.ts';
import { sunDoubt } from './watches/sun.ts';

/** Pressures: averaged over 100 ms that end 5 ms before the firing signal, when the valve is surely still shut. */
const PRESSURE_WINDOW_S = { from: 0.105, to: 0.005 };
/** The air changes slowly; ten seconds average a cheap sensor's noise. */
const AIR_WINDOW_S = { from: 10, to: 0 };
/** The gas may still be cooling: of its last second the scatter counts in full, for the mean is half a second old. */
const GAS_WINDOW_S = { from: 1, to: 0 };
const AIR_ROLES: readonly ChannelRole[] = ['airTemperature', 'airPressure', 'airHumidity'];
/** A gauge made for the vacuum, and one made for the firing that tells a vacuum less well. */
export const BARREL_ROLES: readonly ChannelRole[] = ['barrelVacuum', 'barrelPressure'];
/** A pressure older than this at the firing is no longer the pressure fired with. */
export const PRESSURE_STALE_S = 0.5;

export function latch(state: PipelineState, rig: Rig, firedNs: number): LatchedState {
  const assumed = rig.assumedAir;
  const found = (role: ChannelRole) => latchRole(state, rig, role, firedNs, AIR_WINDOW_S);
  const measured = (role: ChannelRole) => possible(role, freshEnough(found(role), rig.airStaleAfterS));
  const airIsStale = AIR_ROLES.some((role) => (found(role)?.ageS ?? 0) > rig.airStaleAfterS);
  const [airTemperature, humidity] = outOfTheSun(state, measured('airTemperature'), measured('airHumidity'));
  const airTemperatureK = airTemperature ?? assume(assumed, 'temperatureK', 'K');
  const airPressurePa = measured('airPressure') ?? assume(assumed, 'pressurePa', 'Pa');
  const airHumidity = clampHumidity(humidity ?? assume(assumed, 'relativeHumidity', '1'));
  const pressure = (role: ChannelRole) => {
    const latched = latchRole(state, rig, role, firedNs, PRESSURE_WINDOW_S);
    return latched && channelOf(rig, role)?.reference === 'gauge' ? toAbsolute(latched, airPressurePa) : latched;
  };
  return {
    airTemperatureK,
    airPressurePa,
    airHumidity,
    airIsStale,
    airIsInSun: airTemperature !== undefined && state.watches.weather.sun.shadeK !== undefined,
    tailwindMps: windAt(state, rig, firedNs),
    reservoirTemperatureK: freshEnough(latchRole(state, rig, 'reservoirTemperature', firedNs, GAS_WINDOW_S, 'of one'), rig.airStaleAfterS),
    reservoirPressurePa: pressure('reservoirPressure'),
    barrelPressurePa: surest(BARREL_ROLES.map(pressure)),
  };
}

/** What is read in the sun is kept, with how far the air may be from it. */
function outOfTheSun(
  { watches }: PipelineState,
  temperature: Latched | undefined,
  humidity: Latched | undefined,
): readonly [Latched | undefined, Latched | undefined] {
  if (!temperature || !humidity) return [temperature, humidity];
  const doubt = sunDoubt(watches.weather.sun, { temperatureK: temperature.value, relativeHumidity: humidity.value });
  const widened = (latched: Latched, by: number): Latched => ({
    ...latched,
    standardUncertainty: Math.hypot(latched.standardUncertainty, by),
  });
  return [widened(temperature, doubt.temperatureK), widened(humidity, doubt.relativeHumidity)];
}

/** A firing rails a transducer or takes it out of its range for a moment, and says nothing against what it read before. */
const FALSE: readonly Health[] = ['stuck', 'noisy'];

export const channelOf = (rig: Rig, role: ChannelRole): Channel | undefined => rig.channels.find((channel) => channel.name === role);

/** The air out of doors, with room to spare: a sensor that says otherwise is broken or its wire is off. */
const POSSIBLE_AIR: Readonly<Partial<Record<ChannelRole, readonly [number, number]>>> = {
  airTemperature: [220, 335],
  airPressure: [30e3, 120e3],
  airHumidity: [-0.05, 1.1],
};

function possible(role: ChannelRole, latched: Latched | undefined): Latched | undefined {
  const range = POSSIBLE_AIR[role];
  return latched && range && (latched.value < range[0] || latched.value > range[1]) ? undefined : latched;
}

/** The wind of the last ten seconds; the ball meets one gust of it, so that its scatter counts in full and not that of its mean. */
function windAt(state: PipelineState, rig: Rig, firedNs: number): Latched {
  const { value, standardUncertainty } = rig.tailwindMps;
  const measured = freshEnough(latchRole(state, rig, 'tailwind', firedNs, AIR_WINDOW_S, 'of one'), WIND_AGE_S_MAX);
  return measured ?? { value, unit: 'm/s', standardUncertainty, ageS: 0, origin: 'assumed' };
}

/** An older reading of the wind says little of it. */
const WIND_AGE_S_MAX = 15;

/** Ambient pressure now, for showing a gauge channel as absolute. */
export function ambientPressurePa(state: PipelineState, rig: Rig, atNs: number): number {
  const latched = possible('airPressure', freshEnough(latchRole(state, rig, 'airPressure', atNs, AIR_WINDOW_S), rig.airStaleAfterS));
  return latched?.value ?? rig.assumedAir.pressurePa.value;
}

function latchRole(
  state: PipelineState,
  rig: Rig,
  role: ChannelRole,
  firedNs: number,
  window: { readonly from: number; readonly to: number },
  scatter: 'of the mean' | 'of one' = 'of the mean',
): Latched | undefined {
  const channel = channelOf(rig, role);
  const history = state.channels[role];
  const clock = channel && clockOf(state, rig, channel.board);
  if (!channel || !history || !clock || FALSE.includes(state.watches.health[role]?.health ?? 'waiting')) return undefined;
  const ticksAt = (ns: number) => clock.referenceTicks + (ns - clock.referenceNs) / clock.nsPerTick;
  const toTicks = ticksAt(firedNs - window.to * 1e9);
  const statistics = meanBetween(history, ticksAt(firedNs - window.from * 1e9), toTicks) ?? newestBefore(history, toTicks);
  const of = scatter === 'of one' ? Math.sqrt(statistics?.count ?? 1) : 1;
  return (
    statistics &&
    asLatched(
      state,
      channel,
      { ...statistics, meanStandardUncertaintyCounts: of * statistics.meanStandardUncertaintyCounts },
      (firedNs - hostNs(clock, statistics.newestTicks)) / 1e9,
    )
  );
}

function asLatched(state: PipelineState, channel: Channel, statistics: SampleStatistics, ageS: number): Latched | undefined {
  const { si: value, fault } = readingOf(state, channel, statistics.meanCounts);
  // A transducer at the end of its range, or a broken loop, says nothing of what it should measure.
  if (fault !== undefined || !Number.isFinite(value)) return undefined;
  const scatter = Math.abs(readingOf(state, channel, statistics.meanCounts + statistics.meanStandardUncertaintyCounts).si - value) || 0;
  return { value, unit: channel.unit, standardUncertainty: Math.hypot(channel.standardUncertaintySi, scatter), ageS, origin: 'measured' };
}

/** Of the fresh ones, else of all. */
function surest(all: readonly (Latched | undefined)[]): Latched | undefined {
  const found = all.filter((latched) => latched !== undefined);
  const fresh = found.filter(({ ageS }) => ageS <= PRESSURE_STALE_S);
  return (fresh.length > 0 ? fresh : found).reduce<Latched | undefined>(
    (best, one) => (best && best.standardUncertainty <= one.standardUncertainty ? best : one),
    undefined,
  );
}

const freshEnough = (latched: Latched | undefined, ageMaxS: number): Latched | undefined =>
  latched && latched.ageS <= ageMaxS ? latched : undefined;

function assume(assumed: AssumedAir, key: keyof AssumedAir, unit: string): Latched {
  return { value: assumed[key].value, unit, standardUncertainty: assumed[key].standardUncertainty, ageS: 0, origin: 'assumed' };
}

/** A humidity sensor may read a little below 0 or above saturation; the air cannot. */
const clampHumidity = (latched: Latched): Latched => ({ ...latched, value: Math.min(1, Math.max(0, latched.value)) });

function toAbsolute(gauge: Latched, ambient: Latched): Latched {
  return {
    ...gauge,
    value: gauge.value + ambient.value,
    standardUncertainty: Math.hypot(gauge.standardUncertainty, ambient.standardUncertainty),
  };
}
