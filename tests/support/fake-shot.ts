/** An invented shot of the Heron, whole enough to draw: for tests of what is shown, never of what is measured. */
import type { Latched, PressureTrace, Result, Shot, ShotEdge } from '../../protocol/index.ts';
import { GATES } from './fake-rig.ts';

const BALL_DIAMETER_M = 0.0598;

export interface FakeShotOptions {
  readonly number: number;
  readonly sessionId?: string;
  readonly firedAtNs?: number;
  readonly muzzleMps?: number;
  readonly flags?: Shot['flags'];
  /** With a film fragment through gate A1 that was rejected. */
  readonly fragment?: boolean;
  readonly traces?: boolean;
  /** UTC of session time 0. */
  readonly openedAtMs?: number;
}

export function fakeShot(options: FakeShotOptions): Shot {
  const { openedAtMs = Date.UTC(2026, 2, 14, 9, 30) } = options;
  const { number, sessionId = 'cs-2026-03-14-a', firedAtNs = number * 40e9, muzzleMps = 312.46, flags = [], fragment = false } = options;
  const muzzleAtS = 0.0182;
  const passages = GATES.map((gate) => {
    const timeS = muzzleAtS + gate.positionM / muzzleMps + gate.positionM ** 2 * 2.1e-6;
    return { gate: gate.name, pair: gate.pair, positionM: gate.positionM, timeS, occlusionS: BALL_DIAMETER_M / muzzleMps, residualS: 4e-8 };
  });
  const edges: ShotEdge[] = passages.flatMap((passage) => [
    edge(passage.gate, true, passage.timeS - passage.occlusionS / 2, ''),
    edge(passage.gate, false, passage.timeS + passage.occlusionS / 2, ''),
  ]);
  const rejected = fragment
    ? [edge('A1', true, 0.0161, 'ahead of the projectile'), edge('A1', false, 0.01614, 'ahead of the projectile')]
    : [];
  const speedOfSound = result(337.42, 'm/s', 0.21, [['air temperature', 'K', 282.55, 0.4, 0.597]]);
  return {
    id: `${sessionId}-${String(number).padStart(3, '0')}`,
    sessionId,
    number,
    rigName: 'Heron',
    projectile: 'polyamide ball 60 mm',
    firedAtNs,
    firedAt: new Date(openedAtMs + firedAtNs / 1e6).toISOString().replace('Z', '123Z'),
    firedBy: 'trigger',
    edges: [...edges, ...rejected].sort((a, b) => a.timeS - b.timeS),
    passages,
    pairs: [pair('A', ['A1', 'A2'], 2, muzzleMps - 1.2), pair('B', ['B1', 'B2'], 9.5, muzzleMps - 5.9)],
    muzzleVelocityMps: result(muzzleMps, 'm/s', 0.071, [
      ['gate A1 position', 'm', 1.5, 1e-4, 468],
      ['gate A2 position', 'm', 2.5, 1e-4, 402],
      ['gate A1 edge time', 's', 0.023, 1.8e-7, 84_000],
      ['drag coefficient', '1', 0.49, 0.012, 1.1],
    ]),
    targetVelocityMps: result(muzzleMps - 6.9, 'm/s', 0.083, [['gate B2 position', 'm', 10, 1e-4, 512]]),
    mach: result(muzzleMps / 337.42, '1', 0.00062, [
      ['speed of sound', 'm/s', 337.42, 0.21, 0.00274],
      ['muzzle velocity', 'm/s', muzzleMps, 0.071, 0.00296],
    ]),
    dragCoefficient: result(0.487, '1', 0.011, [['pair A velocity', 'm/s', muzzleMps - 1.2, 0.044, 0.18]]),
    air: {
      temperatureK: latched(282.55, 'K', 0.4, 0.4),
      pressurePa: latched(98_340, 'Pa', 120, 0.4),
      relativeHumidity: latched(0.71, '1', 0.02, 0.4),
      tailwindMps: latched(0.4, 'm/s', 0.5, 0.4),
      speedOfSoundMps: speedOfSound,
      densityKgM3: result(1.2093, 'kg/m³', 0.0024, [['air temperature', 'K', 282.55, 0.4, 0.0043]]),
    },
    reservoirPressurePa: latched(2_114_000, 'Pa', 8_700, 0.0008),
    barrelPressurePa: latched(4_210, 'Pa', 580, 0.0008),
    traces: options.traces === false ? [] : [burst('reservoirPressure', reservoirAt), burst('barrelPressure', barrelAt)],
    flags,
  };
}

function result(
  value: number,
  unit: string,
  standardUncertainty: number,
  budget: readonly [string, string, number, number, number][],
): Result {
  return {
    value,
    unit,
    standardUncertainty,
    expandedUncertainty: 2 * standardUncertainty,
    coverageFactor: 2,
    advice: 'The largest part, 61 % of the variance, is gate A1 position; what helps: measure the place of that beam better.',
    budget: budget.map(([input, inputUnit, inputValue, uncertainty, sensitivity]) => ({
      input,
      unit: inputUnit,
      value: inputValue,
      standardUncertainty: uncertainty,
      sensitivity,
      contribution: uncertainty * Math.abs(sensitivity),
    })),
  };
}

function latched(value: number, unit: string, standardUncertainty: number, ageS: number): Latched {
  return { value, unit, standardUncertainty, ageS, origin: 'measured' };
}

function edge(gate: string, active: boolean, timeS: number, reason: string): ShotEdge {
  return { gate, active, ticks: Math.round(1.6e9 + timeS * 16e6), timeS, verdict: reason === '' ? 'used' : 'rejected', reason };
}

function pair(name: string, gates: readonly [string, string], positionM: number, velocityMps: number) {
  return {
    name,
    gates,
    positionM,
    velocityMps: result(velocityMps, 'm/s', 0.044, [['gate spacing', 'm', 1, 1.4e-4, velocityMps]]),
    dragCorrectionMps: 0.002,
  };
}

function burst(channel: string, at: (timeS: number) => number): PressureTrace {
  const fromS = -0.02;
  const periodS = 1e-4;
  return { channel, stream: 'burst', fromS, periodS, valuesPa: Array.from({ length: 900 }, (_, index) => at(fromS + index * periodS)) };
}

const reservoirAt = (timeS: number): number => (timeS < 0 ? 2_114_000 : 1_180_000 + 934_000 * Math.exp(-timeS / 0.012));

function barrelAt(timeS: number): number {
  if (timeS < 0.0006) return 4_210;
  if (timeS < 0.018) return Math.min(398_000, 4_210 + 1.6e6 * (1 - Math.exp(-(timeS - 0.0006) / 0.003)));
  return 98_340 + 299_000 * Math.exp(-(timeS - 0.018) / 0.008);
}
