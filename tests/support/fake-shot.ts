/** An invented shot of the Heron, whole enough to draw: for tests of what is shown, never of what is measured. */
import type { GatePassage, Latched, Measured, PressureTrace, Result, RigSummary, Shot, ShotEdge } from '../../protocol/index.ts';
import { GATES } from './fake-rig.ts';

const BALL_DIAMETER_M = 0.0598;
/** Of the four gates, where none is rejected. */
const RESIDUALS_S = [4.2e-8, -6.1e-8, 3.8e-7, -2.9e-8];

export interface FakeShotOptions {
  readonly number: number;
  readonly sessionId?: string;
  readonly firedAtNs?: number;
  readonly muzzleMps?: number;
  readonly flags?: Shot['flags'];
  /** With a film fragment through gate A1 that was rejected. */
  readonly fragment?: boolean;
  /** A gate that disagrees with the others and was left out. */
  readonly rejectedGate?: string;
  readonly traces?: boolean;
  /** UTC of session time 0. */
  readonly openedAtMs?: number;
}

export function fakeShot(options: FakeShotOptions): Shot {
  const { openedAtMs = Date.UTC(2026, 2, 14, 9, 30) } = options;
  const {
    number,
    sessionId = 'cs-2026-03-14-a',
    firedAtNs = number * 40e9,
    muzzleMps = 312.46,
    flags = [],
    fragment = false,
    rejectedGate,
  } = options;
  const muzzleAtS = 0.0182;
  // As much slower at the target as is told there.
  const slowing = (1 / (muzzleMps - 6.9) - 1 / muzzleMps) / 22;
  const all = GATES.map((gate, i) => {
    const residualS = gate.name === rejectedGate ? 12.4e-6 : (RESIDUALS_S[i] ?? 0);
    return passage(gate, { timeS: muzzleAtS + gate.positionM / muzzleMps + gate.positionM ** 2 * slowing, residualS, muzzleMps });
  });
  const isRejected = ({ gate }: GatePassage): boolean => gate === rejectedGate;
  const edges: ShotEdge[] = all.flatMap(({ gate, timeS, occlusionS }) => {
    const reason = gate === rejectedGate ? 'disagrees with all other gates' : '';
    return [edge(gate, true, timeS - occlusionS / 2, reason), edge(gate, false, timeS + occlusionS / 2, reason)];
  });
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
    passages: all.filter((one) => !isRejected(one)),
    ...(rejectedGate === undefined ? {} : { rejectedPassages: all.filter(isRejected) }),
    pairs: [pair('A', ['A1', 'A2'], 2, muzzleMps - 1.2), pair('B', ['B1', 'B2'], 9.5, muzzleMps - 5.9)].filter(
      ({ gates }) => rejectedGate === undefined || !gates.includes(rejectedGate),
    ),
    muzzleVelocityMps: result(muzzleMps, 'm/s', 0.071, [
      ['gate A1 position', 'm', 1.5, 1e-4, 468],
      ['gate A2 position', 'm', 2.5, 1e-4, 402],
      ['gate A1 edge time', 's', 0.023, 1.8e-7, 84_000],
      ['drag coefficient', '1', 0.49, 0.012, 1.1],
    ]),
    targetVelocityMps: result(muzzleMps - 6.9, 'm/s', 0.083, [['gate B2 position', 'm', 10, 1e-4, 512]]),
    velocityLostMps: result(6.9, 'm/s', 0.052, [['gate B2 position', 'm', 10, 1e-4, 470]]),
    muzzleEnergyJ: result(0.063 * muzzleMps ** 2, 'J', 5.6, [['projectile mass', 'kg', 0.126, 1e-4, 48_800]]),
    targetEnergyJ: result(0.063 * (muzzleMps - 6.9) ** 2, 'J', 5.5, [['projectile mass', 'kg', 0.126, 1e-4, 46_700]]),
    muzzleMomentumNs: result(0.126 * muzzleMps, 'N s', 0.032, [['projectile mass', 'kg', 0.126, 1e-4, 312]]),
    targetMomentumNs: result(0.126 * (muzzleMps - 6.9), 'N s', 0.031, [['projectile mass', 'kg', 0.126, 1e-4, 306]]),
    flightTimeS: result(11 / (muzzleMps - 3.4), 's', 9e-6, [['target position', 'm', 11, 2.5e-3, 0.0033]]),
    targetDropM: result(0.006205, 'm', 4e-6, [['target position', 'm', 11, 2.5e-3, 0.00114]]),
    mach: result(muzzleMps / 337.42, '1', 0.00062, [
      ['speed of sound', 'm/s', 337.42, 0.21, 0.00274],
      ['muzzle velocity', 'm/s', muzzleMps, 0.071, 0.00296],
    ]),
    dragCoefficient: result(0.487, '1', 0.011, [['pair A velocity', 'm/s', muzzleMps - 1.2, 0.044, 0.18]]),
    dragMach: result((muzzleMps - 3.5) / 337.42, '1', 0.0009, [['wind along the range', 'm/s', 0.4, 0.25, -0.003]]),
    dragReynolds: result(1.27e6, '1', 5_400, [['air temperature', 'K', 282.55, 0.4, -8_000]]),
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
    blowDown: {
      openedAtS: measured(0.00231, 0.00022),
      pressureBeforePa: measured(2_114_000, 7_500),
      pressureAfterPa: measured(1_604_000, 7_500),
      afterAtS: muzzleAtS,
      pressureDropPa: measured(510_000, 1_900),
      energyDrawnJ: result(57_375, 'J', 4_300, [['reservoir volume', 'm³', 0.045, 4.5e-4, 1_275_000]]),
      efficiency: result((0.063 * muzzleMps ** 2) / 57_375, '1', 0.0081, [['reservoir volume', 'm³', 0.045, 4.5e-4, -2.4]]),
    },
    flags,
  };
}

const measured = (value: number, standardUncertainty: number): Measured => ({
  value,
  standardUncertainty,
  expandedUncertainty: 1.96 * standardUncertainty,
});

function passage(
  gate: RigSummary['gates'][number],
  { timeS, residualS, muzzleMps }: { readonly timeS: number; readonly residualS: number; readonly muzzleMps: number },
) {
  const chordM = BALL_DIAMETER_M - 0.0001 * gate.positionM;
  const occlusionS = chordM / muzzleMps;
  return {
    gate: gate.name,
    pair: gate.pair,
    positionM: gate.positionM,
    timeS,
    occlusionS,
    chordM,
    offAxisM: Math.sqrt(BALL_DIAMETER_M ** 2 - chordM ** 2) / 2,
    residualS,
    timeStandardUncertaintyS: 3.1e-7,
    occlusionVelocityMps: { value: BALL_DIAMETER_M / occlusionS, standardUncertainty: 0.66 },
  } satisfies GatePassage;
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
