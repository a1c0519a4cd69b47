/** `postern fleet`: the rigs that write to the server of time series, and the shots of all of them. */
import type { Fleet } from '../../../protocol/index.ts';
import { AskError, placeText, readFleet } from '../../series/index.ts';
import { CommandError, say, writeJson } from '../output.ts';
import { columns } from '../text/columns.ts';
import { targetOf } from './target-of.ts';

export interface FleetOptions {
  readonly rig?: string;
  readonly days: number;
  readonly shots: number;
  readonly json?: string | true;
}

export async function fleet({ rig, days, shots, json }: FleetOptions): Promise<void> {
  const server = await targetOf(rig);
  const read = await readFleet(server, { nowUtcMs: Date.now(), days }, shots).catch((error: unknown) => {
    if (error instanceof AskError) throw new CommandError(`${placeText(server)} cannot be asked: ${error.message}.`);
    throw error;
  });
  if (json !== undefined) return writeJson(json, read);
  for (const line of fleetLines(read)) say(line);
}

export function fleetLines({ server, days, rigs, shots, shotsInAll }: Fleet): readonly string[] {
  if (rigs.length === 0) return [`No rig has written to ${server} in the last ${days} days.`];
  const rigRows = rigs.map(({ site, rig, state, heardAtUtcMs, linksUp, linksDown, alarms, shots: count, lastShot }) => [
    site,
    rig,
    state,
    utcText(heardAtUtcMs),
    `${linksUp} of ${linksUp + linksDown}`,
    String(alarms),
    String(count),
    lastShot ? `${utcText(lastShot.firedAtUtcMs)} ${velocityText(lastShot.muzzleVelocityMps)}`.trim() : '-',
  ]);
  const shotRows = shots.map((shot) => [
    utcText(shot.firedAtUtcMs),
    shot.site,
    shot.rig,
    shot.shot,
    velocityText(shot.muzzleVelocityMps),
    shot.mach?.toFixed(3) ?? '-',
    shot.reservoirPressurePa === undefined ? '-' : `${(shot.reservoirPressurePa / 1e6).toFixed(3)} MPa`,
    shot.isExcluded ? 'excluded' : shot.flags > 0 ? `${shot.flags} flags` : '',
  ]);
  return [
    ...columns(['Site', 'Rig', 'State', 'Heard (UTC)', 'Links up', 'Alarms', 'Shots', 'Last shot (UTC)'], rigRows),
    '',
    `Shots of the last ${days} days: ${shotsInAll}${shotsInAll > shots.length ? `, the newest ${shots.length}:` : ''}`,
    ...(shots.length === 0 ? [] : columns(['Fired (UTC)', 'Site', 'Rig', 'Shot', 'Muzzle', 'Mach', 'Reservoir (abs.)', ''], shotRows)),
  ];
}

const utcText = (ms: number): string => new Date(ms).toISOString().slice(0, 19).replace('T', ' ');
const velocityText = (mps: number | undefined): string => (mps === undefined ? '-' : `${mps.toFixed(2)} m/s`);
