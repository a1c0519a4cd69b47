/** What watches and instruments might say of the invented stream: for looking at the pages, never of what is measured. */
import type {
  FillEvent,
  FillPhase,
  HealthEvent,
  LimitEvent,
  Measured,
  PipelineEvent,
  VacuumEvent,
  WeatherEvent,
} from '../../protocol/index.ts';
import { AIR_PA, barrelPa, CYCLE_S, reservoirPa } from './fake-feed.ts';

const TARGET_PA = AIR_PA + 2_000_000;

/** Links of the instruments beside the gate board. */
export function instrumentEvents(): readonly PipelineEvent[] {
  return [
    { type: 'link', atNs: 1e6, source: 'weather', change: 'running', path: './wires/weather', detail: '' },
    { type: 'link', atNs: 1e6, source: 'gauge', change: 'searching', path: './wires/gauge', detail: 'no port with serial number A50285BI' },
    {
      type: 'text-lines',
      atNs: 2e6,
      source: 'gauge',
      lines: 412,
      linesPerS: 9.8,
      gaps: 2,
      unread: { 'no-match': 3 },
      lastUnread: 'P=31.2\\x00bar',
    },
  ];
}

/** @param atNs  of the session @returns fill, vacuum and weather at that moment */
export function watchEventsAt(atNs: number): readonly [FillEvent, VacuumEvent, WeatherEvent] {
  return [fillAt(atNs), vacuumAt(atNs), weatherAt(atNs)];
}

export function fillAt(atNs: number): FillEvent {
  const inCycleS = (atNs / 1e9) % CYCLE_S;
  const pressurePa = measured(reservoirPa(atNs / 1e9), 7_600);
  const common = { type: 'fill', atNs, channel: 'reservoirPressure', pressurePa, targetPa: TARGET_PA, bandPa: 20_000 } as const;
  const since = (phase: FillPhase, fromS: number) => ({ phase, phaseSinceNs: atNs - (inCycleS - fromS) * 1e9 });
  if (inCycleS < 12) {
    const rate = (2.02e6 / 4) * Math.exp(-inCycleS / 4);
    return {
      ...common,
      ...since('filling', 0),
      ratePaPerS: measured(rate, 1_200),
      rateSpanS: 2,
      settledIfShutPa: measured(pressurePa.value * 0.97, 22_000),
      timeToTargetS: measured(Math.max(0, (TARGET_PA - pressurePa.value) / rate), 0.4),
      words: 'Filling: the pressure rises and the target is ahead.',
      ...(inCycleS > 8
        ? { overshoot: { over: 'target', expectedPa: measured(TARGET_PA + 31_000, 6_000), limitPa: TARGET_PA + 20_000 } }
        : {}),
    };
  }
  if (inCycleS >= 16) return { ...common, ...since('falling', 16), ratePaPerS: measured(-400_000, 9_000), words: 'Reservoir falling.' };
  return {
    ...common,
    ...since('settling', 12),
    ratePaPerS: measured(-800, 240),
    words: 'Valve shut, gas settling: it will stand within the band.',
    settling: {
      settledPressurePa: measured(TARGET_PA - 4_000, 2_400),
      timeConstantS: measured(21, 1.2),
      remainingPa: 6_000,
      verdict: 'within-band',
      withinBandInS: measured(14, 2.1),
    },
    hold: {
      fromNs: atNs - (inCycleS - 12) * 1e9,
      durationS: inCycleS - 12,
      leakPaPerS: measured(11, 24),
      smallestLeakSeenPaPerS: 84,
      leakToSeePaPerS: 50,
      holdNeededS: 190,
    },
  };
}

export function vacuumAt(atNs: number): VacuumEvent {
  const inCycleS = (atNs / 1e9) % CYCLE_S;
  const pressurePa = measured(barrelPa(atNs / 1e9), 260);
  const common = { type: 'vacuum', atNs, channel: 'barrelPressure', pressurePa, targetPa: 5_000 } as const;
  if (inCycleS >= 12)
    return {
      ...common,
      phase: 'rising',
      phaseSinceNs: atNs - (inCycleS - 12) * 1e9,
      words: 'Pump shut off, air leaks in.',
      leakUp: { fromNs: atNs - 4e9, durationS: 4, ratePaPerS: measured(40, 9), smallestLeakSeenPaPerS: 15 },
    };
  return {
    ...common,
    phase: 'pumping',
    phaseSinceNs: atNs - inCycleS * 1e9,
    ratePaPerS: measured(-2_400, 40),
    words: 'Pumping down: the target is ahead.',
    pumpDown: {
      basePressurePa: measured(4_000, 180),
      timeConstantS: measured(2, 0.1),
      target: 'ahead',
      timeToTargetS: measured(6.2, 0.5),
    },
  };
}

export function weatherAt(atNs: number): WeatherEvent {
  return {
    type: 'weather',
    atNs,
    inputs: [
      { role: 'airTemperature', value: measured(282.55, 0.2), ageS: 0.4, flags: ['in-sun'] },
      { role: 'airPressure', value: measured(AIR_PA, 60), ageS: 0.4, flags: [] },
      { role: 'airHumidity', value: measured(0.71, 0.02), ageS: 0.4, flags: [] },
    ],
    densityKgM3: measured(1.2069, 0.0012),
    speedOfSoundMps: measured(337.42, 0.11),
    words: 'The sensor stands in the sun, as it seems; shade it.',
  };
}

export const limitEvent = (atNs: number, state: LimitEvent['state'], more: Partial<LimitEvent> = {}): LimitEvent => ({
  type: 'limit',
  atNs,
  id: 'relief',
  channel: 'reservoirPressure',
  severity: 'alarm',
  state,
  was: 'clear',
  raisedAtNs: atNs,
  audible: state === 'active',
  limitSi: AIR_PA + 3_950_000,
  channelHealthy: true,
  words: 'The relief valve is about to open.',
  ...more,
});

export const healthEvent = (atNs: number, channel: string, health: HealthEvent['health']): HealthEvent => ({
  type: 'health',
  atNs,
  channel,
  health,
  was: 'healthy',
  words: `${channel} is ${health}: look at its wire and supply.`,
  lastValueSi: 2_222_222,
});

export const measured = (value: number, standardUncertainty: number): Measured => ({
  value,
  standardUncertainty,
  expandedUncertainty: 2 * standardUncertainty,
});
