import { soundWaits, switchSound } from '../state/alarm-sound.ts';
import { soundWanted } from '../state/preferences.ts';

/** Whether a new alarm sounds. Switching it on sounds it once, so that the crew knows it. */
export function SoundSwitch() {
  const on = soundWanted.value;
  return (
    <button type="button" class={on ? 'chosen' : ''} aria-pressed={on} onClick={() => switchSound(!on)}>
      {on ? 'Alarm sound on' : 'Alarm sound off'}
      {on && soundWaits.value && ': touch the page once'}
    </button>
  );
}
