/** The shots so far, newest first. */

import { DISPLAY, formatParts } from '../../../host/units/index.ts';
import type { Shot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { addressOf, listProblem, measuringId, shots, shown } from '../state/shots.ts';
import { cameraOnly } from '../text/camera-only.ts';
import { flagText } from '../text/flags.ts';
import { resultParts } from '../text/result-text.ts';
import { timeOfDay } from '../text/time-text.ts';

export function ShotTable() {
  const system = units.value;
  const velocity = DISPLAY.velocity[system].symbol;
  return (
    <section class="panel shot-list" aria-labelledby="list-title">
      <h2 id="list-title">Recent shots</h2>
      {listProblem.value !== '' && <p class="notice">Earlier shots could not be fetched: {listProblem.value}.</p>}
      {shots.value.length === 0 ? (
        <p class="empty">None yet.</p>
      ) : (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
        <section class="shot-rows" tabIndex={0} aria-label="Shots, newest first">
          <table>
            <thead>
              <tr>
                <th scope="col">Shot</th>
                <th scope="col">Time, UTC</th>
                <th scope="col" class="wide-only">
                  Fill, {DISPLAY.pressure[system].symbol} abs.
                </th>
                <th scope="col" class="wide-only">
                  Vacuum, {DISPLAY.vacuum[system].symbol} abs.
                </th>
                <th scope="col">Muzzle, {velocity}</th>
                <th scope="col">Mach</th>
                <th scope="col" class="wide-only">
                  Target, {velocity}
                </th>
                <th scope="col">Flags</th>
              </tr>
            </thead>
            <tbody>
              {shots.value.map((shot) => (
                <ShotRow key={shot.id} shot={shot} current={shot.id === shown.value?.id} />
              ))}
            </tbody>
          </table>
        </section>
      )}
    </section>
  );
}

function ShotRow({ shot, current }: { readonly shot: Shot; readonly current: boolean }) {
  const system = units.value;
  const seen = cameraOnly(shot);
  const latched = (si: number | undefined, kind: 'pressure' | 'vacuum') => formatParts(si ?? Number.NaN, undefined, kind, system).value;
  return (
    <tr class={current ? 'current' : ''} aria-current={current ? 'true' : undefined}>
      <td>
        <a class="button" href={addressOf(shot.id)} aria-label={`Show shot ${shot.number}`}>
          {shot.number}
        </a>
      </td>
      <td class="figures">
        {timeOfDay(shot.firedAt).slice(0, 8)}
        <span class="wide-only">{timeOfDay(shot.firedAt).slice(8)}</span>
      </td>
      <td class="figures wide-only">{latched(shot.reservoirPressurePa?.value, 'pressure')}</td>
      <td class="figures wide-only">{latched(shot.barrelPressurePa?.value, 'vacuum')}</td>
      <td class="figures">
        {resultParts(shot.muzzleVelocityMps ?? seen?.velocityMps, 'velocity', system).value}
        {seen && <small> camera only</small>}
      </td>
      <td class="figures">{resultParts(shot.mach, 'number', system).value}</td>
      <td class="figures wide-only">{resultParts(shot.targetVelocityMps, 'velocity', system).value}</td>
      <td>
        <FlagCount shot={shot} />
      </td>
    </tr>
  );
}

function FlagCount({ shot }: { readonly shot: Shot }) {
  if (shot.id === measuringId.value) return <>measuring…</>;
  if (shot.flags.length === 0) return <>none</>;
  const titles = shot.flags.map((flag) => flagText(flag).title).join(', ');
  return (
    <>
      <span class="wide-only">{titles}</span>
      <span class="narrow-only">
        {shot.flags.length}
        <span class="for-ears"> flags: {titles}</span>
      </span>
    </>
  );
}
