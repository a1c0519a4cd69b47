/** What must not be overlooked: no host, no board, edges lost. Absent when there is nothing. */
import { connection, silenceS } from '../state/connection.ts';
import { boards } from '../state/live-state.ts';
import { ageTick } from '../state/page-clock.ts';
import { ageText } from '../text/age-text.ts';
import { alarmsOf } from '../text/alarms.ts';
import { Age } from './age.tsx';

export function AlarmStrip() {
  const alarms = alarmsOf(boards.value);
  return (
    <div class="alarms" role="alert">
      <HostAlarm />
      {alarms.map((alarm) => (
        <p key={alarm.key} class="alarm">
          <strong>{alarm.title}</strong> {alarm.text}{' '}
          {alarm.sinceNs !== undefined && <Age atNs={alarm.sinceNs} before="For " after=" now." />}
        </p>
      ))}
    </div>
  );
}

function HostAlarm() {
  const state = connection.value;
  if (state === 'connected' || state === 'connecting') return null;
  return (
    <p class="alarm">
      <strong>{state === 'lost' ? 'Connection to the host lost.' : 'No word from the host.'}</strong> What is shown is <SilenceAge /> old.
      Trying again by itself.
    </p>
  );
}

function SilenceAge() {
  ageTick.value;
  return <span aria-hidden="true">{ageText(silenceS())}</span>;
}
