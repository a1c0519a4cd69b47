import { switchSound } from '../state/alarm-sound.ts';
import { soundWanted } from '../state/preferences.ts';
import { soundWaits } from '../state/tones.ts';

/** Whether a new alarm and a shot sound. Switching it on sounds the alarm once, so that the crew knows it. */
export function SoundSwitch() {
  const on = soundWanted.value;
  return (
    <button type="button" class={on ? 'chosen' : ''} aria-pressed={on} onClick={() => switchSound(!on)}>
      {on ? 'Sound on' : 'Sound off'}
      {on && soundWaits.value && ': touch the page once'}
    </button>
  );
}
