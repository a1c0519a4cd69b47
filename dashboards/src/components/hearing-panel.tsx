/** What this screen does so that nobody has to look at it: sounds, shaking, a voice, and staying lit. */
import { canShake, switchShaking } from '../state/alarm-sound.ts';
import { STEPS } from '../state/aloud.ts';
import { canStayAwake, isAwake } from '../state/awake.ts';
import { awakeWanted, units, vibrationWanted, voiceStep, voiceWanted } from '../state/preferences.ts';
import { canSpeak, lastSaid, speak } from '../state/speech.ts';
import { SoundSwitch } from './sound-switch.tsx';

export function HearingPanel() {
  return (
    <section class="panel hearing" aria-labelledby="hearing-title">
      <h2 id="hearing-title">This screen, heard and felt</h2>
      <p>Sound, shaking and voice are off until somebody wants them. What is chosen is remembered on this screen only.</p>
      <div class="switches">
        <SoundSwitch />
        <Switch
          name="Shaking"
          on={vibrationWanted.value}
          missing={canShake ? '' : 'This browser cannot make the device shake.'}
          onSwitch={switchShaking}
        />
        <Switch name="Voice" on={voiceWanted.value} missing={canSpeak ? '' : 'This browser has no voice.'} onSwitch={switchVoice} />
        <Switch
          name="Stay lit while filling"
          on={awakeWanted.value}
          missing={canStayAwake ? '' : 'Browsers keep a screen lit only for pages over TLS or on the host itself (docs/security.md).'}
          onSwitch={(on) => (awakeWanted.value = on)}
        />
      </div>
      <VoiceSteps />
      <p class="detail">
        Sound: two falling tones for an alarm, two rising ones for a shot.{' '}
        {canStayAwake && (isAwake.value ? 'The screen is kept lit now.' : 'The screen is left to itself now.')}
      </p>
      {voiceWanted.value && <p class="detail">Said last: {lastSaid.value === '' ? 'nothing yet' : `“${lastSaid.value}”`}</p>}
    </section>
  );
}

function switchVoice(on: boolean): void {
  voiceWanted.value = on;
  // A browser lets a page speak only after it spoke at a person's press.
  if (on) speak({ subject: 'voice', text: 'Voice on' });
}

/** At which pressures of the reservoir the voice speaks; of the barrel it says 1, 2 and 5 of every decade. */
function VoiceSteps() {
  const system = units.value;
  return (
    <label class="voice-steps">
      The voice says the reservoir's pressure every
      <select value={voiceStep.value} onChange={(event) => (voiceStep.value = Number(event.currentTarget.value))}>
        {STEPS[system].map((step, rank) => (
          <option key={step} value={rank}>
            {step} {system === 'SI' ? 'MPa' : 'psi'}
          </option>
        ))}
      </select>
      <span>and the barrel's at 1, 2 and 5 of every power of ten; phases, alarms, HOLD, hold points done, and shots as well.</span>
    </label>
  );
}

interface SwitchProps {
  readonly name: string;
  readonly on: boolean;
  /** Why it cannot be had here; empty where it can. */
  readonly missing: string;
  readonly onSwitch: (on: boolean) => void;
}

function Switch({ name, on, missing, onSwitch }: SwitchProps) {
  if (missing !== '') return <p class="notice">{missing}</p>;
  return (
    <button type="button" class={on ? 'chosen' : ''} aria-pressed={on} onClick={() => onSwitch(!on)}>
      {name} {on ? 'on' : 'off'}
    </button>
  );
}
