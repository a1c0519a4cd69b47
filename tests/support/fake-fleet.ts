/** A server of time series that four invented rigs write to. */
import type { SeriesDesk } from '../../host/serve/index.ts';
import type { Fleet, FleetRig, FleetShot, SeriesState } from '../../protocol/index.ts';

export const FLEET_NOW_MS = Date.UTC(2026, 2, 14, 9, 30);

const shot = (rig: string, number: number, given: Partial<FleetShot> = {}): FleetShot => ({
  rig,
  site: 'Cold Sike',
  session: '20260314T090000Z',
  shot: `20260314T090000Z-${String(number).padStart(3, '0')}`,
  firedAtUtcMs: FLEET_NOW_MS - number * 240_000,
  muzzleVelocityMps: 300 + 12.345 * number,
  muzzleVelocityUMps: 0.3,
  mach: 0.9 + 0.03 * number,
  reservoirPressurePa: 1.2e6 + 5e4 * number,
  flags: 0,
  isExcluded: false,
  ...given,
});

const rig = (name: string, given: Partial<FleetRig> = {}): FleetRig => ({
  rig: name,
  site: 'Cold Sike',
  state: 'running',
  heardAtUtcMs: FLEET_NOW_MS - 2_000,
  linksUp: 4,
  linksDown: 0,
  alarms: 0,
  warnings: 0,
  shots: 2,
  ...given,
});

export const FLEET: Fleet = {
  server: 'victoria-metrics at http://127.0.0.1:8428',
  askedAtUtcMs: FLEET_NOW_MS,
  days: 30,
  rigs: [
    rig('Curlew', {
      state: 'ended',
      heardAtUtcMs: FLEET_NOW_MS - 7.5e6,
      linksUp: 0,
      linksDown: 4,
      lastShot: shot('Curlew', 3, { flags: 2 }),
    }),
    rig('Dunlin', { state: 'silent', heardAtUtcMs: FLEET_NOW_MS - 95_000, linksUp: 3, linksDown: 1, lastShot: shot('Dunlin', 2) }),
    rig('Heron', { alarms: 1, warnings: 2, lastShot: shot('Heron', 1) }),
    rig('Plover', { shots: 0 }),
  ],
  shots: [shot('Heron', 1), shot('Dunlin', 2), shot('Curlew', 3, { flags: 2 }), shot('Heron', 4, { isExcluded: true })],
  shotsInAll: 4,
};

export const SERIES: SeriesState = {
  server: FLEET.server,
  state: 'sending',
  problem: '',
  warnings: [],
  pointsSent: 123_456,
  pointsRefused: 0,
  samplesThinned: 0,
  refusals: [],
  behindS: 0.4,
  sessionsWaiting: 0,
};

export const fakeSeries = (given: { readonly state?: Partial<SeriesState>; readonly fleet?: () => Promise<Fleet> } = {}): SeriesDesk => ({
  state: () => ({ ...SERIES, ...given.state }),
  fleet: given.fleet ?? (() => Promise.resolve(FLEET)),
});
