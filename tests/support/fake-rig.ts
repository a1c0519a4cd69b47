/** The Heron as a page knows it, without a rig file. */
import type { ChannelSummary, LimitSummary, RigSummary } from '../../protocol/index.ts';

const BOARD = 'gate-board';

export const GATES: RigSummary['gates'] = [
  { name: 'A1', pair: 'A', board: BOARD, input: 1, positionM: 1.5 },
  { name: 'A2', pair: 'A', board: BOARD, input: 2, positionM: 2.5 },
  { name: 'B1', pair: 'B', board: BOARD, input: 3, positionM: 9 },
  { name: 'B2', pair: 'B', board: BOARD, input: 4, positionM: 10 },
];

function limit(
  id: string,
  kind: LimitSummary['kind'],
  thresholdSi: number,
  severity: LimitSummary['severity'],
  message: string,
): LimitSummary {
  return { id, channel: 'reservoirPressure', kind, thresholdSi, reference: 'gauge', holdS: 0, clearSi: 20_000, severity, message };
}

const channel = (given: Pick<ChannelSummary, 'name' | 'rangeSi' | 'expandedUncertaintySi'> & Partial<ChannelSummary>): ChannelSummary => ({
  measures: 'pressure',
  unit: 'Pa',
  board: BOARD,
  reference: 'absolute',
  ...given,
});

export const FAKE_RIG: RigSummary = {
  name: 'Heron',
  site: 'Cold Sike',
  projectile: { name: 'polyamide ball 60 mm', diameterM: 0.0598, massKg: 0.126 },
  barrelLengthM: 5.5,
  reservoirRatedPaGauge: 4_000_000,
  targetPositionM: 11,
  gates: GATES,
  channels: [
    {
      name: 'reservoirPressure',
      measures: 'pressure',
      unit: 'Pa',
      board: BOARD,
      reference: 'gauge',
      rangeSi: [101_325, 6_101_325],
      expandedUncertaintySi: 15_000,
      calibratedOn: '2025-03-01',
      calibrationDue: '2026-03-01',
    },
    channel({ name: 'barrelPressure', rangeSi: [0, 400_000], expandedUncertaintySi: 600 }),
    channel({ name: 'airTemperature', measures: 'temperature', unit: 'K', rangeSi: [233.15, 333.15], expandedUncertaintySi: 0.6 }),
    channel({ name: 'airPressure', rangeSi: [60_000, 120_000], expandedUncertaintySi: 150 }),
    channel({ name: 'airHumidity', measures: 'ratio', unit: '1', rangeSi: [0, 1], expandedUncertaintySi: 0.04 }),
    channel({ name: 'gaugePressure', board: 'gauge', reference: 'gauge', rangeSi: [0, 6_101_325], expandedUncertaintySi: 25_000 }),
  ],
  boards: [
    { name: BOARD, kind: 'gate-board' },
    { name: 'weather', kind: 'firmata' },
    { name: 'gauge', kind: 'text' },
  ],
  limits: [
    limit('near-maximum', 'above', 3_600_000, 'warning', 'Close to the maximum fill.'),
    limit('relief', 'above', 3_950_000, 'alarm', 'The relief valve is about to open.'),
  ],
  fill: { targetPaGauge: 2_000_000, bandPa: 20_000 },
  vacuum: { targetPa: 5_000, bandPa: 500 },
  holdPoints: [
    { id: 'bore', name: 'Sighting tool out of the bore', by: 'crew' },
    { id: 'clear', name: 'Range clear', by: 'crew' },
    { id: 'settled', name: 'Fill settled', by: 'condition', when: 'fill-settled' },
  ],
};
