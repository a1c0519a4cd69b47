/** What the watches, the links and the crew's acts become. Samples, shots and the rig's own state have files of their own. */
import type { FillEvent, FillPhase, PipelineEvent, VacuumEvent, VacuumPhase, WeatherEvent, WeatherRole } from '../../../protocol/index.ts';
import type { LineTags } from './line.ts';
import { type Point, type PointDialect, pointOf } from './point.ts';

const FILL_CODES: Readonly<Record<FillPhase, number>> = { unknown: 0, empty: 1, filling: 2, settling: 3, steady: 4, falling: 5 };
const VACUUM_CODES: Readonly<Record<VacuumPhase, number>> = { unknown: 0, open: 1, pumping: 2, base: 3, rising: 4, venting: 5 };

/** @returns undefined for an event that becomes no point, or one of another file's */
export function eventPoint(event: PipelineEvent, tags: LineTags, dialect: PointDialect): Point | undefined {
  switch (event.type) {
    case 'link': {
      const { source, change, detail } = event;
      const up = change === 'running' ? 1 : 0;
      return pointOf('link', { ...tags, board: source }, { up, state: change, detail }, dialect);
    }
    case 'fill':
      return fillPoint(event, tags, dialect);
    case 'vacuum':
      return vacuumPoint(event, tags, dialect);
    case 'weather':
      return weatherPoint(event, tags, dialect);
    case 'health': {
      const { channel, health } = event;
      return pointOf('health', { ...tags, channel }, { healthy: health === 'healthy' ? 1 : 0, state: health }, dialect);
    }
    case 'limit': {
      const { id, channel, severity, state, valueSi, limitSi } = event;
      const active = state.startsWith('active') ? 1 : 0;
      const values = { active, state, value_si: valueSi, limit_si: limitSi };
      return pointOf('limit_state', { ...tags, channel, limit_id: id, severity }, values, dialect);
    }
    case 'hold-points': {
      const { ready, points } = event;
      const done = points.filter((point) => point.done).length;
      return pointOf('hold_points', tags, { ready: ready ? 1 : 0, done, points: points.length }, dialect);
    }
    case 'wire': {
      const { source, counters } = event;
      const values = {
        lines: counters.linesReceived,
        lines_bad: Object.values(counters.faults).reduce((sum, count) => sum + (count ?? 0), 0),
        frames_missed: counters.framesMissed,
        frames_resent: counters.framesRecovered,
        frames_gone: counters.framesGone,
        edges: counters.edgesCaptured,
        edges_lost: counters.edgesLost,
      };
      return pointOf('wire', { ...tags, board: source }, values, dialect);
    }
    case 'clock': {
      const { source, rateErrorPpm, offsetStandardUncertaintyS, roundTripS } = event;
      const values = { rate_error_ppm: rateErrorPpm, offset_u_s: offsetStandardUncertaintyS, round_trip_s: roundTripS };
      return pointOf('clock', { ...tags, board: source }, values, dialect);
    }
    case 'note':
      return pointOf('note', tags, { text: event.text, who: event.who, shot: event.shotId }, dialect);
    default:
      return undefined;
  }
}

function fillPoint(event: FillEvent, tags: LineTags, dialect: PointDialect): Point | undefined {
  const { channel, phase, pressurePa, ratePaPerS, targetPa, settling, settledIfShutPa } = event;
  const values = {
    pressure_pa: pressurePa.value,
    pressure_u_pa: pressurePa.standardUncertainty,
    rate_pa_per_s: ratePaPerS?.value,
    steady_pa: phase === 'steady' ? pressurePa.value : undefined,
    settled_pa: (settling?.settledPressurePa ?? settledIfShutPa)?.value,
    target_pa: targetPa,
    phase,
    phase_code: FILL_CODES[phase],
  };
  return pointOf('fill', { ...tags, channel }, values, dialect);
}

function vacuumPoint(event: VacuumEvent, tags: LineTags, dialect: PointDialect): Point | undefined {
  const { channel, phase, pressurePa, ratePaPerS, targetPa } = event;
  const values = {
    pressure_pa: pressurePa.value,
    pressure_u_pa: pressurePa.standardUncertainty,
    rate_pa_per_s: ratePaPerS?.value,
    target_pa: targetPa,
    phase,
    phase_code: VACUUM_CODES[phase],
  };
  return pointOf('vacuum', { ...tags, channel }, values, dialect);
}

function weatherPoint({ inputs, densityKgM3, speedOfSoundMps }: WeatherEvent, tags: LineTags, dialect: PointDialect): Point | undefined {
  const of = (role: WeatherRole): number | undefined => inputs.find((input) => input.role === role)?.value?.value;
  const values = {
    temperature_k: of('airTemperature'),
    pressure_pa: of('airPressure'),
    humidity: of('airHumidity'),
    density_kg_m3: densityKgM3?.value,
    speed_of_sound_mps: speedOfSoundMps?.value,
  };
  return pointOf('weather', tags, values, dialect);
}
