import { recording, session } from '../state/live-state.ts';
import { recordingWords } from '../text/recording-words.ts';
import { clockText } from '../text/time-text.ts';
import { Age } from './age.tsx';
import { SeverityMark } from './severity-mark.tsx';
import { StripLine } from './strip-line.tsx';

/** What is measured now may not be kept: loud until recording resumes; a hole that stays is a warning to the session's end. */
export function RecordingAlarm() {
  const words = wordsNow();
  if (!words) return null;
  const severity = words.isNow ? 'alarm' : 'warning';
  const sinceNs = recording.value?.sinceNs;
  return (
    <StripLine
      kind={`limit ${severity} ${words.isNow ? 'unseen' : 'seen'}`}
      about={words.title}
      mark={<SeverityMark severity={severity} />}
    >
      <strong>{words.title}</strong> {words.cause} {words.amount} {words.advice}{' '}
      {words.isNow && sinceNs !== undefined && <Age atNs={sinceNs} before="For " after=" now." />}
    </StripLine>
  );
}

/** Once, for those who do not see the page. */
export function RecordingVoice() {
  const words = wordsNow();
  return (
    words && <p key={`${words.title} ${recording.value?.sinceNs}`}>{words.isNow ? `Alarm: not recording. ${words.advice}` : words.title}</p>
  );
}

export function wordsNow() {
  const originUtcMs = session.value?.originUtcMs ?? Number.NaN;
  return recordingWords(recording.value, (atNs) => clockText(originUtcMs + atNs / 1e6));
}
