/**
 * A plausible stream of pipeline events without a pipeline: a fill, a vacuum, a shot, again and again. For looking at
 * the pages and for tests of how they behave; what it says was never measured.
 */
import type { ChannelRole, PipelineEvent, SamplesEvent, WireCounters } from '../../protocol/index.ts';
import { FAKE_RIG } from './fake-rig.ts';
import { fakeShot } from './fake-shot.ts';

export const FAKE_SESSION_ID = 'cs-2026-03-14-a';
const SOURCE = 'gate-board';
export const AIR_PA = 98_340;
/** One fill, hold, shot and vent. */
export const CYCLE_S = 20;
const FIRED_AT_S = 16;

/** What begins a session: the rig, the link, the board. */
export function openingEvents(openedAt = new Date().toISOString()): readonly PipelineEvent[] {
  return [
    { type: 'session', atNs: 0, sessionId: FAKE_SESSION_ID, openedAt, softwareVersion: '0.1.0', rig: FAKE_RIG },
    { type: 'link', atNs: 1e6, source: SOURCE, change: 'opened', path: './wires/gate-board', detail: '' },
    {
      type: 'board',
      atNs: 2e6,
      source: SOURCE,
      boardId: 'CS-GB-01',
      bootId: 0x5a17,
      resetCause: 'power',
      tickRateHz: 16e6,
      restarted: false,
      problem: '',
    },
  ];
}

/** All that happens from one instant to the next, ns of the session. Call it with steps that touch. */
export function eventsBetween(fromNs: number, toNs: number, openedAtMs = Date.UTC(2026, 2, 14, 9, 30)): readonly PipelineEvent[] {
  const channels: readonly [ChannelRole, number, (timeS: number) => number][] = [
    ['reservoirPressure', 1e6, reservoirPa],
    ['barrelPressure', 1e6, barrelPa],
    ['airTemperature', 1e9, (timeS) => 282.55 + 0.2 * Math.sin(timeS / 60)],
    ['airPressure', 1e9, (timeS) => AIR_PA + 20 * Math.sin(timeS / 90)],
    ['airHumidity', 1e9, (timeS) => 0.71 + 0.01 * Math.sin(timeS / 45)],
  ];
  const samples = channels.flatMap(([channel, periodNs, at]) => samplesOf(channel, periodNs, at, fromNs, toNs) ?? []);
  const seconds = multiplesBetween(fromNs, toNs, 1e9).flatMap((atNs) => secondly(atNs));
  return [...samples, ...seconds, ...shotsBetween(fromNs, toNs, openedAtMs)];
}

function shotsBetween(fromNs: number, toNs: number, openedAtMs: number): readonly PipelineEvent[] {
  return multiplesBetween(fromNs - FIRED_AT_S * 1e9, toNs - FIRED_AT_S * 1e9, CYCLE_S * 1e9).flatMap((cycleNs) => {
    const number = Math.round(cycleNs / (CYCLE_S * 1e9)) + 1;
    const firedAtNs = cycleNs + FIRED_AT_S * 1e9;
    const fragment = number % 2 === 0;
    const shot = fakeShot({
      number,
      firedAtNs,
      openedAtMs,
      fragment,
      muzzleMps: 300 + 7.31 * number,
      flags: fragment ? ['edges-rejected'] : [],
    });
    return [{ type: 'shot', phase: 'closed', atNs: firedAtNs + 2e9, shot } satisfies PipelineEvent];
  });
}

function secondly(atNs: number): readonly PipelineEvent[] {
  const beats = Math.round(atNs / 1e9);
  return [
    { type: 'wire', atNs, source: SOURCE, counters: counters(beats) },
    { type: 'inputs', atNs, source: SOURCE, active: 0 },
    {
      type: 'clock',
      atNs,
      source: SOURCE,
      exchanges: beats * 4,
      rateErrorPpm: 21.44 + 0.1 * Math.sin(beats),
      rateStandardUncertaintyPpm: 0.31,
      offsetS: -3.25 + beats * 21.44e-6,
      offsetStandardUncertaintyS: 22e-6,
      roundTripS: 0.00118,
    },
  ];
}

function counters(beats: number): WireCounters {
  return {
    linesReceived: beats * 27,
    faults: beats > 5 ? { 'crc-mismatch': 2, 'line-too-long': 1 } : {},
    framesRepeated: 0,
    framesMissed: beats > 5 ? 3 : 0,
    framesRecovered: beats > 5 ? 3 : 0,
    framesGone: 0,
    framesAwaited: 0,
    edgesCaptured: beats,
    edgesLost: 0,
    edgesHeld: 0,
    hostLinesBad: 0,
  };
}

function samplesOf(
  channel: ChannelRole,
  periodNs: number,
  at: (timeS: number) => number,
  fromNs: number,
  toNs: number,
): SamplesEvent | undefined {
  const times = multiplesBetween(fromNs, toNs, periodNs);
  const [first] = times;
  if (first === undefined) return undefined;
  return {
    type: 'samples',
    atNs: toNs,
    channel,
    stream: 'slow',
    fromNs: first,
    periodNs,
    valuesSi: times.map((timeNs) => at(timeNs / 1e9)),
  };
}

/** Whole multiples of the period in [from, to). */
function multiplesBetween(fromNs: number, toNs: number, periodNs: number): readonly number[] {
  const first = Math.max(0, Math.ceil(fromNs / periodNs));
  const count = Math.max(0, Math.ceil(toNs / periodNs) - first);
  return Array.from({ length: count }, (_, index) => (first + index) * periodNs);
}

export function reservoirPa(timeS: number): number {
  const inCycleS = timeS % CYCLE_S;
  const noise = 900 * Math.sin(timeS * 911) * Math.cos(timeS * 373);
  if (inCycleS < 12) return AIR_PA + 2.02e6 * (1 - Math.exp(-inCycleS / 4)) + noise;
  if (inCycleS < FIRED_AT_S) return AIR_PA + 2.02e6 * (1 - Math.exp(-3)) - 800 * (inCycleS - 12) + noise;
  return AIR_PA + 1.1e6 * Math.exp(-(inCycleS - FIRED_AT_S) / 0.7) + noise;
}

export function barrelPa(timeS: number): number {
  const inCycleS = timeS % CYCLE_S;
  const noise = 60 * Math.sin(timeS * 777);
  if (inCycleS < 12) return 4_000 + (AIR_PA - 4_000) * Math.exp(-inCycleS / 2) + noise;
  if (inCycleS < FIRED_AT_S) return 4_200 + 40 * (inCycleS - 12) + noise;
  return AIR_PA + 280_000 * Math.exp(-(inCycleS - FIRED_AT_S) / 0.04) + noise;
}
