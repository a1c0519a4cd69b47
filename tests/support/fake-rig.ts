/** The Heron as a page knows it, without a rig file. */
import type { RigSummary } from '../../protocol/index.ts';

const BOARD = 'gate-board';

export const GATES: RigSummary['gates'] = [
  { name: 'A1', pair: 'A', board: BOARD, input: 1, positionM: 1.5 },
  { name: 'A2', pair: 'A', board: BOARD, input: 2, positionM: 2.5 },
  { name: 'B1', pair: 'B', board: BOARD, input: 3, positionM: 9 },
  { name: 'B2', pair: 'B', board: BOARD, input: 4, positionM: 10 },
];

export const FAKE_RIG: RigSummary = {
  name: 'Heron',
  site: 'Cold Sike',
  projectile: { name: 'polyamide ball 60 mm', diameterM: 0.0598, massKg: 0.126 },
  barrelLengthM: 5.5,
  reservoirRatedPa: 4_101_325,
  targetPositionM: 11,
  gates: GATES,
  channels: [
    { role: 'reservoirPressure', unit: 'Pa', rangeSi: [101_325, 6_101_325] },
    { role: 'barrelPressure', unit: 'Pa', rangeSi: [0, 400_000] },
    { role: 'airTemperature', unit: 'K', rangeSi: [233.15, 333.15] },
    { role: 'airPressure', unit: 'Pa', rangeSi: [60_000, 120_000] },
    { role: 'airHumidity', unit: '1', rangeSi: [0, 1] },
  ],
  boards: [BOARD],
};
