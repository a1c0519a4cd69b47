/** The watches' place in the pipeline: what the rig file makes of their set-up, and the samples and time they get. */
import type { PipelineEvent, RawFault, SamplesEvent } from '../../protocol/index.ts';
import { drivingGas } from '../physics/index.ts';
import { type BoardSetup, type Channel, limitsOf, type Rig } from '../rig/index.ts';
import { ambientPressurePa, BARREL_ROLES } from './latch.ts';
import type { PipelineState } from './state.ts';
import {
  type ChannelWatchSetup,
  FILL_DEFAULTS,
  type LimitSetup,
  passTime,
  SILENT_AFTER_S,
  takeSamples,
  type WatchSetup,
} from './watches/index.ts';

type Step = readonly [PipelineState, readonly PipelineEvent[]];

/** What samples were made of: raw numbers, the ambient that is in a gauge pressure's values, and the first fault among them. */
export interface SamplesOrigin {
  readonly fault: RawFault | undefined;
  readonly raw: readonly number[];
  readonly ambientPa: number | undefined;
}

/** Slow streams only: a burst is the same gauge at the firing, and its samples come twice. */
export function watchSamples(state: PipelineState, samples: SamplesEvent, { fault, raw, ambientPa }: SamplesOrigin): Step {
  if (!state.watchSetup) return [state, []];
  const { channel, atNs, fromNs, periodNs } = samples;
  // With the limits' and targets' own ambient: where the two part, a gauge would be over its limit by the difference.
  const heldPa = ambientPa === undefined ? undefined : (state.watchSetup.ambientPa ?? ambientPa);
  const byPa = heldPa === undefined || ambientPa === undefined ? 0 : heldPa - ambientPa;
  const valuesSi = byPa === 0 ? samples.valuesSi : samples.valuesSi.map((value) => value + byPa);
  const [watches, events] = takeSamples(state.watches, state.watchSetup, {
    channel,
    atNs,
    fromNs,
    periodNs,
    valuesSi,
    raw,
    ...(heldPa === undefined ? {} : { ambientPa: heldPa }),
    ...(fault === undefined ? {} : { fault }),
  });
  return [watches === state.watches ? state : { ...state, watches }, events];
}

export function passWatchTime(state: PipelineState, rig: Rig, atNs: number): Step {
  const setup = withAmbient(state.watchSetup, rig, ambientPressurePa(state, rig, atNs));
  const [watches, events] = passTime(state.watches, setup, atNs);
  return [{ ...state, watches, watchSetup: setup }, events];
}

/** Gauge limits and targets move with the air; by so little it is not worth a new set-up. */
const AMBIENT_STEP_PA = 20;

function withAmbient(setup: WatchSetup | undefined, rig: Rig, ambientPa: number): WatchSetup {
  const before = setup?.ambientPa;
  if (setup && before !== undefined && Math.abs(ambientPa - before) < AMBIENT_STEP_PA) return setup;
  return watchSetupOf(rig, ambientPa);
}

export function watchSetupOf(rig: Rig, ambientPa: number): WatchSetup {
  const has = (name: string) => rig.channels.some((channel) => channel.name === name);
  const barrel = BARREL_ROLES.find(has);
  const weather = { airTemperature: 'airTemperature', airPressure: 'airPressure', airHumidity: 'airHumidity' } as const;
  return {
    ambientPa,
    channels: rig.channels.map((channel) => channelWatch(channel, rig)),
    ...(has('reservoirPressure') ? { fill: fillWatch(rig, ambientPa) } : {}),
    ...(barrel ? { vacuum: { channel: barrel, ambientPa, ...(rig.vacuum ? { targetPa: rig.vacuum.targetPa } : {}) } } : {}),
    ...(Object.values(weather).every(has) ? { weather: { channels: weather, staleAfterS: rig.airStaleAfterS } } : {}),
    limits: limitsOf(rig).map(
      ({ id, channel, kind, from, thresholdSi, reference, holdS, clearSi, severity, message }): LimitSetup => ({
        id,
        channel,
        kind: LIMIT_KINDS[kind],
        unit: rig.channels.find(({ name }) => name === channel)?.unit ?? '1',
        ...(reference === 'gauge' ? { gaugeZeroPa: ambientPa } : {}),
        ...(from === undefined ? {} : { from }),
        limitSi: isRate(kind) || reference === 'absolute' ? thresholdSi : thresholdSi + ambientPa,
        holdS,
        clearSi,
        severity,
        message,
      }),
    ),
  };
}

const LIMIT_KINDS = {
  above: 'above',
  below: 'below',
  'rising-faster-than': 'risingFasterThan',
  'falling-faster-than': 'fallingFasterThan',
  'differs-from': 'differsFrom',
} as const;
const isRate = (kind: keyof typeof LIMIT_KINDS): boolean => kind !== 'above' && kind !== 'below';

/** A transducer is taken to drift by no more than its own uncertainty in an hour (our judgement). */
const DRIFT_S = 3600;
/** A weather sensor is read once a second, a text instrument may print every five. */
const SLOW_SILENT_AFTER_S = 5;
const TEXT_SILENT_AFTER_S = 15;

function channelWatch(channel: Channel, rig: Rig): ChannelWatchSetup {
  const { name, standardUncertaintySi } = channel;
  const kind: BoardSetup['kind'] | undefined = rig.boards.find((board) => board.name === channel.board)?.kind;
  const isPin = channel.source.kind === 'name' && /^A\d+$/.test(channel.source.reads);
  const firmata = isPin ? SILENT_AFTER_S : SLOW_SILENT_AFTER_S;
  return {
    channel: name,
    standardUncertaintySi,
    driftSiPerS: standardUncertaintySi / DRIFT_S,
    ...(channel.measures === 'speed' ? { scattersByNature: true as const } : {}),
    silentAfterS: kind === 'text' ? TEXT_SILENT_AFTER_S : kind === 'firmata' ? firmata : SILENT_AFTER_S,
  };
}

/** Of its rating, as gauge pressure: less than this and the vessel counts as empty. */
const EMPTY_SHARE = 0.01;
const GAMMA_UNKNOWN = 1.4;

function fillWatch(rig: Rig, ambientPa: number): NonNullable<WatchSetup['fill']> {
  const { reservoir, fill, assumedAir } = rig;
  return {
    ...FILL_DEFAULTS,
    channel: 'reservoirPressure',
    ...(fill ? { targetPa: fill.targetPaGauge + ambientPa } : {}),
    bandPa: fill?.bandPa ?? 0.005 * reservoir.maximumFillPaGauge,
    maximumPa: reservoir.maximumFillPaGauge + ambientPa,
    emptyBelowPa: EMPTY_SHARE * reservoir.ratedPressurePaGauge + ambientPa,
    gamma: drivingGas(reservoir.gas)?.gamma ?? GAMMA_UNKNOWN,
    ambientPa,
    wallTemperatureK: assumedAir.temperatureK.value,
  };
}
