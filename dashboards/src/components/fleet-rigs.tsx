/** Every rig that writes to the server: how it is, and its last shot. */
import { DISPLAY, formatParts } from '../../../host/units/index.ts';
import type { FleetRig } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { ageText } from '../text/age-text.ts';
import { FLEET_WORDS } from '../text/fleet-words.ts';
import { clockText } from '../text/time-text.ts';

export function FleetRigs({ rigs, askedAtUtcMs }: { readonly rigs: readonly FleetRig[]; readonly askedAtUtcMs: number }) {
  return (
    <ul class="fleet-rigs">
      {rigs.map((rig) => (
        <li key={`${rig.site}/${rig.rig}`} class={`fleet-rig ${rig.state}`}>
          <h3>
            {rig.rig} <span class="quiet">{rig.site}</span>
          </h3>
          <p class="fleet-state">
            <strong>{FLEET_WORDS[rig.state]}</strong>
            {rig.state !== 'running' && <span> for {ageText((askedAtUtcMs - rig.heardAtUtcMs) / 1000)}</span>}
          </p>
          <LastShot rig={rig} />
          <p class="quiet">
            Links up: {rig.linksUp} of {rig.linksUp + rig.linksDown}. Shots: {rig.shots}.
            {rig.alarms > 0 && <strong class="bad"> Alarms: {rig.alarms}.</strong>}
            {rig.warnings > 0 && ` Warnings: ${rig.warnings}.`}
          </p>
        </li>
      ))}
    </ul>
  );
}

function LastShot({ rig: { lastShot } }: { readonly rig: FleetRig }) {
  const system = units.value;
  if (!lastShot) return <p class="fleet-velocity">No shot</p>;
  const { value } = formatParts(lastShot.muzzleVelocityMps ?? Number.NaN, undefined, 'velocity', system);
  return (
    <p class="fleet-velocity">
      <strong class="figures">{value}</strong> {DISPLAY.velocity[system].symbol}{' '}
      <span class="quiet">at {clockText(lastShot.firedAtUtcMs)} UTC</span>
    </p>
  );
}
