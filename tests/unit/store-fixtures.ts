/** Invented shots on the range at Cold Sike. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type {
  Latched,
  LinkEvent,
  NoteEvent,
  Result,
  RigSummary,
  SamplesEvent,
  SessionEvent,
  Shot,
  ShotEvent,
} from '../../protocol/index.ts';

export function temporaryFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'postern-store-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

const result = (value: number, unit: string, standardUncertainty: number): Result => ({
  value,
  unit,
  standardUncertainty,
  expandedUncertainty: 2 * standardUncertainty,
  coverageFactor: 2,
  advice: 'Measure the spacing better.',
  budget: [{ input: 'gate spacing', unit: 'm', value: 1, standardUncertainty: 1.5e-4, sensitivity: value, contribution: value * 1.5e-4 }],
});

const latched = (value: number, unit: string): Latched => ({
  value,
  unit,
  standardUncertainty: value * 1e-3,
  ageS: 0.04,
  origin: 'measured',
});

export function makeShot(sessionId: string, number: number, changes: Partial<Shot> = {}): Shot {
  const velocity = 300 + number * 1.0123456789;
  return {
    id: `${sessionId}-${number}`,
    sessionId,
    number,
    rigName: 'Heron',
    projectile: '60 mm polyamide sphere',
    firedAtNs: number * 60e9 + 123,
    firedAt: new Date(Date.UTC(2031, 4, 4, 9, number)).toISOString().replace('.000Z', '.123456Z'),
    firedBy: 'trigger',
    edges: [{ gate: 'A1', active: true, ticks: 281474976710655, timeS: 0.004987654321, verdict: 'used', reason: '' }],
    passages: [{ gate: 'A1', pair: 'A', positionM: 1.5, timeS: 0.00503, occlusionS: 1.9e-4 }],
    pairs: [{ name: 'A', gates: ['A1', 'A2'], positionM: 2, velocityMps: result(velocity, 'm/s', 0.06), dragCorrectionMps: 0.002 }],
    muzzleVelocityMps: result(velocity + 0.1, 'm/s', 0.07),
    targetVelocityMps: result(velocity - 9, 'm/s', 0.08),
    mach: result(velocity / 343.2, '1', 0.0003),
    dragCoefficient: result(0.31, '1', 0.02),
    air: {
      temperatureK: latched(288.4, 'K'),
      pressurePa: latched(98400, 'Pa'),
      relativeHumidity: latched(0.71, '1'),
      tailwindMps: latched(0.4, 'm/s'),
      speedOfSoundMps: result(341.1, 'm/s', 0.1),
      densityKgM3: result(1.183, 'kg/m³', 0.001),
    },
    reservoirPressurePa: latched(2.1e6, 'Pa'),
    barrelPressurePa: latched(1900, 'Pa'),
    traces: [{ channel: 'barrelPressure', stream: 'burst', fromS: -0.01, periodS: 1e-4, valuesPa: [1900.125, 1901.5, 8.0e5] }],
    flags: [],
    ...changes,
  };
}

export const closed = (shot: Shot): ShotEvent => ({ type: 'shot', phase: 'closed', atNs: shot.firedAtNs + 2e9, shot });

export const rig: RigSummary = {
  name: 'Heron',
  site: 'Cold Sike',
  projectile: { name: '60 mm polyamide sphere', diameterM: 0.06, massKg: 0.126 },
  barrelLengthM: 5.5,
  reservoirRatedPaGauge: 4e6,
  targetPositionM: 11,
  gates: [{ name: 'A1', pair: 'A', board: 'gates', input: 1, positionM: 1.5 }],
  channels: [
    {
      name: 'reservoirPressure',
      measures: 'pressure',
      unit: 'Pa',
      board: 'gates',
      reference: 'gauge',
      rangeSi: [0, 5e6],
      expandedUncertaintySi: 15e3,
    },
  ],
  boards: [{ name: 'gates', kind: 'gate-board' }],
  limits: [],
  holdPoints: [],
};

export const session = (sessionId: string, openedAt: string): SessionEvent => ({
  type: 'session',
  atNs: 0,
  sessionId,
  openedAt,
  softwareVersion: '0.1.0',
  rig,
});

export const note = (text: string, shotId?: string): NoteEvent => ({
  type: 'note',
  atNs: 5e9,
  text,
  ...(shotId === undefined ? {} : { shotId }),
});

export const link = (change: LinkEvent['change']): LinkEvent => ({
  type: 'link',
  atNs: 1e9,
  source: 'gates',
  change,
  path: './gates',
  detail: 'unplugged',
});

export const samples = (fromNs: number, valuesSi: readonly number[], stream: SamplesEvent['stream'] = 'slow'): SamplesEvent => ({
  type: 'samples',
  atNs: fromNs,
  channel: 'reservoirPressure',
  stream,
  fromNs,
  periodNs: 1e6,
  valuesSi,
});
