/** The shots of all rigs, newest first. */
import { DISPLAY, formatParts } from '../../../host/units/index.ts';
import type { Fleet, FleetShot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { clockText, dateText } from '../text/time-text.ts';

export function FleetShots({ fleet: { shots, shotsInAll, days } }: { readonly fleet: Fleet }) {
  const system = units.value;
  return (
    <section class="panel shot-list" aria-labelledby="fleet-shots-title">
      <h2 id="fleet-shots-title">Shots of all rigs</h2>
      <p class="quiet">
        {shotsInAll} in the last {days} days{shotsInAll > shots.length ? `; the newest ${shots.length} of them` : ''}.
      </p>
      {shots.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
        <section class="shot-rows" tabIndex={0} aria-label="Shots of all rigs, newest first">
          <table>
            <thead>
              <tr>
                <th scope="col">Rig</th>
                <th scope="col" class="wide-only">
                  Shot
                </th>
                <th scope="col">Fired, UTC</th>
                <th scope="col" class="wide-only">
                  Fill, {DISPLAY.pressure[system].symbol} abs.
                </th>
                <th scope="col">Muzzle, {DISPLAY.velocity[system].symbol}</th>
                <th scope="col">Mach</th>
                <th scope="col">Flags</th>
              </tr>
            </thead>
            <tbody>
              {shots.map((shot) => (
                <Row key={`${shot.site}/${shot.rig}/${shot.shot}`} shot={shot} />
              ))}
            </tbody>
          </table>
        </section>
      )}
    </section>
  );
}

function Row({ shot }: { readonly shot: FleetShot }) {
  const system = units.value;
  const shown = (si: number | undefined, kind: 'velocity' | 'pressure' | 'number') =>
    formatParts(si ?? Number.NaN, undefined, kind, system).value;
  return (
    <tr>
      <td>{shot.rig}</td>
      <td class="wide-only">{shot.shot}</td>
      <td class="figures">
        <span class="wide-only">{dateText(shot.firedAtUtcMs)} </span>
        {clockText(shot.firedAtUtcMs)}
      </td>
      <td class="figures wide-only">{shown(shot.reservoirPressurePa, 'pressure')}</td>
      <td class="figures">{shown(shot.muzzleVelocityMps, 'velocity')}</td>
      <td class="figures">{shown(shot.mach, 'number')}</td>
      <td>{shot.isExcluded ? 'excluded' : shot.flags === 0 ? 'none' : shot.flags}</td>
    </tr>
  );
}
