import type { Shot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { measuringId, shots } from '../state/shots.ts';
import { flagText } from '../text/flags.ts';
import { resultParts } from '../text/result-text.ts';
import { timeOfDay } from '../text/time-text.ts';

/** The newest shot's muzzle velocity with its uncertainty and what is to be known before it is believed. */
export function NewestShot() {
  const shot = shots.value[0];
  return (
    <section class="panel newest" aria-labelledby="newest-title">
      <h2 id="newest-title">{shot ? `Newest shot: ${shot.number}` : 'Newest shot'}</h2>
      {shot ? (
        <>
          <Speed shot={shot} />
          <p>
            <span class="figures">
              Muzzle velocity{shot.mach && `, Mach ${resultParts(shot.mach, 'number', units.value).value}`},{' '}
              {timeOfDay(shot.firedAt).slice(0, 8)} UTC.
            </span>{' '}
            <b>{flagsText(shot)}</b>
          </p>
        </>
      ) : (
        <p class="newest-none">None yet</p>
      )}
    </section>
  );
}

function Speed({ shot }: { readonly shot: Shot }) {
  if (!shot.muzzleVelocityMps) return <p class="newest-none">{shot.id === measuringId.value ? 'Measuring…' : 'No velocity'}</p>;
  const { value, uncertainty, symbol } = resultParts(shot.muzzleVelocityMps, 'velocity', units.value);
  return (
    <p class="newest-speed">
      <span class="number figures">{value}</span>{' '}
      <span class="figures newest-rest">
        ± {uncertainty} {symbol}
      </span>
    </p>
  );
}

function flagsText({ id, flags }: Shot): string {
  if (id === measuringId.value) return 'Flags follow.';
  return flags.length === 0 ? 'No flags.' : `Flags: ${flags.map((flag) => flagText(flag).title).join(', ')}.`;
}
