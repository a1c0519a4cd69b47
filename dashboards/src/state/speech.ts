/**
 * Saying things aloud with the browser's own voice, so that nobody has to read out a gauge. One sentence at a time; of
 * those that wait, a newer one takes the place of an older one on the same subject, and an alarm goes first.
 */
import { signal } from '@preact/signals';

export interface Spoken {
  /** Two sentences on one subject are never both waiting. */
  readonly subject: string;
  readonly text: string;
  readonly isUrgent?: boolean;
}

/** More than there are subjects worth hearing late. */
const WAITING_MAX = 6;

export const canSpeak = typeof speechSynthesis !== 'undefined' && typeof SpeechSynthesisUtterance !== 'undefined';
/** What was said last, for whoever did not catch it. */
export const lastSaid = signal('');

let waiting: readonly Spoken[] = [];
let isSpeaking = false;

export function speak(spoken: Spoken): void {
  if (!canSpeak) return;
  const others = waiting.filter(({ subject }) => subject !== spoken.subject);
  const urgent = others.filter((other) => other.isUrgent);
  const rest = others.filter((other) => !other.isUrgent);
  waiting = (spoken.isUrgent ? [...urgent, spoken, ...rest] : [...urgent, ...rest, spoken]).slice(0, WAITING_MAX);
  if (!isSpeaking) next();
}

export function fallSilent(): void {
  waiting = [];
  if (canSpeak) speechSynthesis.cancel();
}

function next(): void {
  const [first, ...rest] = waiting;
  waiting = rest;
  isSpeaking = first !== undefined;
  if (!first) return;
  const utterance = new SpeechSynthesisUtterance(first.text);
  utterance.lang = 'en';
  // However it ends, the next one has its turn.
  utterance.onend = next;
  utterance.onerror = next;
  lastSaid.value = first.text;
  speechSynthesis.speak(utterance);
}
