import { units } from '../state/preferences.ts';
import { announced } from '../state/shots.ts';
import { flagText } from '../text/flags.ts';
import { oneLine, resultParts } from '../text/result-text.ts';

/** Says a new shot to those who do not see the page. */
export function Announcer() {
  const shot = announced.value;
  const flags = shot?.flags.map((flag) => flagText(flag).title).join(', ') ?? '';
  return (
    <p class="for-ears" aria-live="polite">
      {shot &&
        `Shot ${shot.number}: muzzle velocity ${oneLine(resultParts(shot.muzzleVelocityMps, 'velocity', units.value))}, Mach ${oneLine(
          resultParts(shot.mach, 'number', units.value),
        )}. ${flags === '' ? 'No flags.' : `Flags: ${flags}.`}`}
    </p>
  );
}
