/** All rigs that write to a server, with their state and their shots: from the server alone, and from nobody's store. */
import type { Fleet, FleetRig, FleetShot, FleetState } from '../../../protocol/index.ts';
import { placeText, type SeriesServer } from '../server.ts';
import { newestRows, type Span } from './newest-rows.ts';
import type { NewestRow } from './rows.ts';

/** A rig tells its state every five seconds. */
export const SILENT_AFTER_MS = 30_000;

/**
 * @param shotsMax  listed at most
 * @throws (rejects) AskError where the server does not answer, or not as it should
 */
export async function readFleet(server: SeriesServer, span: Span, shotsMax: number): Promise<Fleet> {
  const [states, told, exclusions] = await Promise.all([
    newestRows(server, 'rig_state', span),
    newestRows(server, 'shot', span),
    newestRows(server, 'shot_exclusion', span),
  ]);
  const excluded = new Set(exclusions.flatMap((row) => (row.values.excluded === 1 ? [shotKey(row)] : [])));
  const shots = told.map((row) => shotOf(row, excluded.has(shotKey(row)))).sort((a, b) => b.firedAtUtcMs - a.firedAtUtcMs);
  const rigs = newestOfRig(states).map((row) => rigOf(row, shots, span.nowUtcMs));
  return {
    server: placeText(server),
    askedAtUtcMs: span.nowUtcMs,
    days: span.days,
    rigs: rigs.sort((a, b) => compareTexts(a.site, b.site) || compareTexts(a.rig, b.rig)),
    shots: shots.slice(0, shotsMax),
    shotsInAll: shots.length,
  };
}

/** A rig whose tags of its own have changed has left rows under the old ones. */
function newestOfRig(rows: readonly NewestRow[]): readonly NewestRow[] {
  const newest = new Map<string, NewestRow>();
  for (const row of rows) {
    const key = JSON.stringify([row.tags.site, row.tags.rig]);
    if ((newest.get(key)?.atUtcMs ?? Number.NEGATIVE_INFINITY) < row.atUtcMs) newest.set(key, row);
  }
  return [...newest.values()];
}

function rigOf({ tags, atUtcMs, values }: NewestRow, shots: readonly FleetShot[], nowUtcMs: number): FleetRig {
  const { rig = '', site = '' } = tags;
  const own = shots.filter((shot) => shot.rig === rig && shot.site === site);
  return {
    rig,
    site,
    state: stateOf(values.open, nowUtcMs - atUtcMs),
    heardAtUtcMs: atUtcMs,
    linksUp: values.links_up ?? 0,
    linksDown: values.links_down ?? 0,
    alarms: values.alarms ?? 0,
    warnings: values.warnings ?? 0,
    shots: own.length,
    ...(own[0] ? { lastShot: own[0] } : {}),
  };
}

function stateOf(open: number | undefined, ageMs: number): FleetState {
  if (open === 0) return 'ended';
  return ageMs > SILENT_AFTER_MS ? 'silent' : 'running';
}

function shotOf({ tags, atUtcMs, values }: NewestRow, isExcluded: boolean): FleetShot {
  const given = {
    muzzleVelocityMps: values.muzzle_velocity_mps,
    muzzleVelocityUMps: values.muzzle_velocity_u_mps,
    mach: values.mach,
    reservoirPressurePa: values.reservoir_pressure_pa,
  };
  return {
    rig: tags.rig ?? '',
    site: tags.site ?? '',
    session: tags.session ?? '',
    shot: tags.shot ?? '',
    firedAtUtcMs: atUtcMs,
    ...(Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined)) as Partial<typeof given> as object),
    flags: values.flags ?? 0,
    isExcluded,
  };
}

const shotKey = ({ tags }: NewestRow): string => JSON.stringify([tags.site, tags.rig, tags.session, tags.shot]);
const compareTexts = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
