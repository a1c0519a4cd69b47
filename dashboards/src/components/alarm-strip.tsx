/** What must not be overlooked: a journal that is not written, limits passed, no host, no board, edges lost, a rig file not taken. Absent when there is nothing. */
import { connection, isKeyMissing, silenceS } from '../state/connection.ts';
import { rigRejected } from '../state/crew.ts';
import { boards } from '../state/live-state.ts';
import { ageTick } from '../state/page-clock.ts';
import { limits } from '../state/watches.ts';
import { ageText } from '../text/age-text.ts';
import { alarmsOf, rigAlarm } from '../text/alarms.ts';
import { standingLimits } from '../text/limit-words.ts';
import { Age } from './age.tsx';
import { LimitAlarm } from './limit-alarm.tsx';
import { RecordingAlarm, wordsNow } from './recording-alarm.tsx';
import { StripLine } from './strip-line.tsx';

export function AlarmStrip() {
  const alarms = [...alarmsOf(boards.value), ...rigAlarm(rigRejected.value)];
  const standing = standingLimits(limits.value);
  const hostLost = connection.value === 'lost' || connection.value === 'silent' || isKeyMissing.value;
  const isQuiet = alarms.length === 0 && standing.length === 0 && !hostLost && !wordsNow();
  return (
    // Many alarms scroll in their own box, so that they never hide the page.
    <div class={isQuiet ? '' : 'alarms'} {...(isQuiet ? {} : { role: 'region', 'aria-label': 'Alarms', tabIndex: 0 })}>
      <RecordingAlarm />
      {standing.map((event) => (
        <LimitAlarm key={event.id} event={event} />
      ))}
      <div class="link-alarms" role="alert" aria-atomic="false">
        {isKeyMissing.value ? <KeyMissing /> : <HostAlarm />}
        {alarms.map((alarm) => (
          <StripLine key={alarm.key} about={alarm.title}>
            <strong>{alarm.title}</strong> {alarm.text}{' '}
            {alarm.sinceNs !== undefined && <Age atNs={alarm.sinceNs} before="For " after=" now." />}
          </StripLine>
        ))}
      </div>
    </div>
  );
}

function KeyMissing() {
  return (
    <StripLine about="the key to look">
      <strong>The host asks for a key to look.</strong> Open this page by the address with #look=… that the host printed when it started.
    </StripLine>
  );
}

function HostAlarm() {
  const state = connection.value;
  if (state === 'connected' || state === 'connecting') return null;
  return (
    <StripLine about="the line to the host">
      <strong>{state === 'lost' ? 'Connection to the host lost.' : 'No word from the host.'}</strong> What is shown is <SilenceAge /> old.
      Trying again by itself.
    </StripLine>
  );
}

function SilenceAge() {
  ageTick.value;
  return <span aria-hidden="true">{ageText(silenceS())}</span>;
}
