/** An invented past: many sessions of shots as rows, any of them whole, and what was done to them. */
import type { HistorySource } from '../../host/serve/history/history-source.ts';
import type { ShotSource } from '../../host/serve/index.ts';
import type { Shot, ShotFlag, ShotTableRow, StoredAct } from '../../protocol/index.ts';
import { FAKE_RIG } from './fake-rig.ts';
import { fakeShot } from './fake-shot.ts';

const PER_SESSION = 20;
const DAY_MS = 86_400_000;
const FIRST_MS = Date.UTC(2024, 0, 8, 9);
const FLAGS: readonly (readonly ShotFlag[])[] = [[], [], [], ['gate-missed'], [], ['air-stale', 'chords-differ'], [], []];

export const PAST_PROJECTILES = ['polyamide ball 60 mm', 'steel ball 60 mm'] as const;

/** Shots of the past by their number from 0, the oldest. */
export function pastShot(index: number, traces = true): Shot {
  const session = Math.floor(index / PER_SESSION);
  const openedAtMs = FIRST_MS + session * DAY_MS;
  const day = new Date(openedAtMs).toISOString().slice(0, 10);
  const number = (index % PER_SESSION) + 1;
  const muzzleMps = 220 + ((index * 37) % 311);
  const shot = fakeShot({ number, sessionId: `cs-${day}-a`, openedAtMs, muzzleMps, flags: FLAGS[index % FLAGS.length] ?? [], traces });
  const reservoirPressurePa = {
    value: 0.9e6 + muzzleMps * 4_000,
    unit: 'Pa',
    standardUncertainty: 8_700,
    ageS: 0.001,
    origin: 'measured',
  } as const;
  return { ...shot, projectile: PAST_PROJECTILES[index % 7 === 0 ? 1 : 0] ?? '', reservoirPressurePa };
}

export function pastRow(index: number): ShotTableRow {
  const shot = pastShot(index, false);
  const isOut = index % 50 === 13;
  return {
    ...{ id: shot.id, session: shot.sessionId, number: shot.number, firedAt: shot.firedAt, rig: shot.rigName, projectile: shot.projectile },
    muzzleVelocityMps: shot.muzzleVelocityMps?.value ?? null,
    muzzleVelocityStandardUncertaintyMps: shot.muzzleVelocityMps?.standardUncertainty ?? null,
    targetVelocityMps: shot.targetVelocityMps?.value ?? null,
    targetVelocityStandardUncertaintyMps: shot.targetVelocityMps?.standardUncertainty ?? null,
    mach: shot.mach?.value ?? null,
    machStandardUncertainty: shot.mach?.standardUncertainty ?? null,
    dragCoefficient: shot.dragCoefficient?.value ?? null,
    dragCoefficientStandardUncertainty: shot.dragCoefficient?.standardUncertainty ?? null,
    reservoirPressurePa: shot.reservoirPressurePa?.value ?? null,
    barrelPressurePa: shot.barrelPressurePa?.value ?? null,
    flags: shot.flags,
    ...{ excluded: isOut, excludedBecause: isOut ? 'film torn before the firing' : '', excludedBy: isOut ? 'Wren' : '' },
    notes: index % 31 === 5 ? [`bore wiped, ball ${index}`] : [],
  };
}

export interface Past {
  readonly history: HistorySource;
  readonly store: ShotSource;
  /** As the journal of the session that runs would bring it into the store. */
  readonly acts: StoredAct[];
}

export function fakePast(count: number): Past {
  const rows = Array.from({ length: count }, (_, i) => pastRow(count - 1 - i));
  const places = new Map(rows.map(({ id }, i) => [id, count - 1 - i]));
  const acts: StoredAct[] = [];
  const sessions = [...new Set(rows.map(({ session }) => session))].map((id) => ({
    ...{ id, openedAt: `${id.slice(3, 13)}T09:00:00Z`, originUtcUs: undefined, rig: FAKE_RIG, softwareVersion: '0.1.0' },
    ...{ shots: PER_SESSION, shotsFlagged: 0 },
  }));
  const wholeOf = (id: string): Shot | undefined => {
    const place = places.get(id);
    return place === undefined ? undefined : pastShot(place);
  };
  return {
    acts,
    history: {
      span: async () => {
        throw new RangeError('no samples are invented here');
      },
      shotTable: async () => rows,
      shotActs: async (id) => acts.filter(({ event }) => 'shotId' in event && event.shotId === id),
      sessions: async () => sessions,
    },
    store: { shots: async () => [], shot: async (id) => wholeOf(id) },
  };
}
