/**
 * The simulated range and the pipeline on one virtual clock: no port, no timer, as fast as the machine goes. What the
 * links do live (split lines, ping, send requests, ask for the weather) is done here in the plainest way.
 */
import { readFileSync } from 'node:fs';
import { WEATHER_SILENT_FROM_S } from '../../firmware-sim/instruments.ts';
import { createRange, type FaultName } from '../../firmware-sim/range.ts';
import { LINE_FAULTS, lineFaults } from '../../firmware-sim/wires/faults.ts';
import { createMemoryLine } from '../../firmware-sim/wires/memory.ts';
import type { Pace } from '../../firmware-sim/world/procedure.ts';
import type { ShotTruth } from '../../firmware-sim/world/shot.ts';
import { INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import { encodeMessage, type HostMessage, type PipelineEvent, type PosternRecord, type Shot } from '../../protocol/index.ts';

export const HERON_YAML = readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8');
/** 2026-03-02T09:00:00Z, when the invented session was opened. */
export const ORIGIN_UTC_MS = Date.UTC(2026, 2, 2, 9);

export interface VirtualRun {
  readonly records: readonly PosternRecord[];
  readonly events: readonly PipelineEvent[];
  /** The closed ones. */
  readonly shots: readonly Shot[];
  readonly truth: readonly ShotTruth[];
}

const STEP_S = 0.001;
/** Of each kind asked for, for one frame. */
const LINE_FAULT_PROBABILITY = 0.03;
const PING_EVERY_S = 0.25;
const CLOCK_EVERY_S = 0.5;
const FIRST_WEATHER_S = 0.3;
const WEATHER_EVERY_S = 1;

export function runVirtualRange(options: {
  readonly seed: number;
  readonly shots: number;
  /** Fast where left out; its fills are over too soon for the watches to follow phase by phase. */
  readonly pace?: Pace;
  readonly faults?: readonly FaultName[];
  /** Takes the wire out and puts it back, range seconds. */
  readonly unplugged?: { readonly fromS: number; readonly toS: number };
  readonly rigText?: string;
  readonly untilS?: number;
}): VirtualRun {
  const { faults = [], pace = 'fast' } = options;
  const range = createRange({ seed: options.seed, pace, shots: options.shots, faults });
  const wireFaults = LINE_FAULTS.filter((name) => faults.includes(name));
  const line = createMemoryLine({ seed: options.seed, end: range, fault: lineFaults(wireFaults, LINE_FAULT_PROBABILITY) });
  const gaugeLine = createMemoryLine({ seed: options.seed + 1, end: range.fillGauge });
  const splitters = { 'gate-board': lineSplitter(), 'fill-gauge': lineSplitter() };
  const records: PosternRecord[] = [];
  const events: PipelineEvent[] = [];
  let state = INITIAL_STATE;
  let hostSeq = 0;
  let nowS = 0;
  const send = (message: HostMessage): void => line.send(Buffer.from(`${encodeMessage(message, hostSeq++)}\n`, 'latin1'), nowS);
  const take = (record: PosternRecord): void => {
    records.push(record);
    const [next, out] = step(state, record);
    state = next;
    events.push(...out);
    for (const event of out) if (event.type === 'request') send(event.message);
  };
  const link = (source: string, change: 'opened' | 'lost'): void =>
    take({ kind: 'link', atNs: Math.round(nowS * 1e9), source, value: { change, path: 'memory', detail: '' } });
  const closed = () => events.filter((event) => event.type === 'shot' && event.phase === 'closed').length;

  take({ kind: 'clock', atNs: 0, source: 'host', value: { utcUs: ORIGIN_UTC_MS * 1000 } });
  take({
    kind: 'rig',
    atNs: 0,
    source: 'host',
    value: {
      sessionId: 'virtual',
      softwareVersion: 'test',
      protocolVersion: 1,
      fileName: 'heron.yaml',
      text: options.rigText ?? HERON_YAML,
    },
  });
  for (const board of ['gate-board', 'weather-board', 'fill-gauge']) link(board, 'opened');
  send({ kind: 'WHO' });
  let nextPingS = 0;
  let nextClockS = CLOCK_EVERY_S;
  let nextWeatherS = FIRST_WEATHER_S;
  let plugged = true;
  const weatherUntilS = faults.includes('silent-weather') ? WEATHER_SILENT_FROM_S : Number.POSITIVE_INFINITY;
  const untilS = options.untilS ?? options.shots * (pace === 'real' ? 35 : 5) + 20;
  for (let tick = 1; nowS < untilS && closed() < options.shots; tick++) {
    nowS = tick * STEP_S;
    const shouldBePlugged = !options.unplugged || nowS < options.unplugged.fromS || nowS >= options.unplugged.toS;
    if (shouldBePlugged !== plugged) {
      plugged = shouldBePlugged;
      line.setPlugged(plugged, nowS);
      splitters['gate-board'].clear();
      link('gate-board', plugged ? 'opened' : 'lost');
      if (plugged) send({ kind: 'WHO' });
    }
    // Records enter in the order of time, whichever line they came on.
    const arrived = [
      ...line.advanceTo(nowS).map((chunk) => ({ ...chunk, source: 'gate-board' as const })),
      ...gaugeLine.advanceTo(nowS).map((chunk) => ({ ...chunk, source: 'fill-gauge' as const })),
    ].sort((a, b) => a.timeS - b.timeS);
    for (const { source, timeS, bytes } of arrived)
      for (const text of splitters[source].push(bytes))
        take({ kind: 'line', atNs: Math.round(timeS * 1e9), source, bytes: Buffer.from(text, 'latin1') });
    if (nowS >= nextWeatherS && nowS < weatherUntilS) {
      const { temperatureK, pressurePa, relativeHumidity } = range.shownAir(nowS);
      const value = { temperature: temperatureK, pressure: pressurePa, humidity: relativeHumidity };
      take({ kind: 'reading', atNs: Math.round(nowS * 1e9), source: 'weather-board', value });
      nextWeatherS += WEATHER_EVERY_S;
    }
    if (plugged && nowS >= nextPingS) {
      const sentNs = Math.round(nowS * 1e9);
      send({ kind: 'PING', token: sentNs.toString(16).toUpperCase().padStart(16, '0') });
      nextPingS = nowS + (nowS < 0.5 ? 0.05 : PING_EVERY_S);
    }
    if (nowS >= nextClockS) {
      take({
        kind: 'clock',
        atNs: Math.round(nowS * 1e9),
        source: 'host',
        value: { utcUs: ORIGIN_UTC_MS * 1000 + Math.round(nowS * 1e6) },
      });
      nextClockS += CLOCK_EVERY_S;
    }
  }
  const shots = events.flatMap((event) => (event.type === 'shot' && event.phase === 'closed' ? [event.shot] : []));
  return { records, events, shots, truth: range.truth };
}

/** At the line feed, as the links do; empty lines go, and what is left of a text instrument's CR is stripped there too. */
function lineSplitter() {
  let pending = '';
  return {
    push: (bytes: Uint8Array): readonly string[] => {
      const lines = (pending + Buffer.from(bytes).toString('latin1')).split('\n');
      pending = lines.pop() ?? '';
      return lines.map((text) => text.replace(/\r$/, '')).filter(Boolean);
    },
    clear: () => {
      pending = '';
    },
  };
}
