/** Which channels scroll beside the two pressures: chosen by the crew, remembered by this browser. */
import { effect, signal } from '@preact/signals';
import { recall, remember } from './storage.ts';

const KEY = 'postern.traces';
/** With the two pressures eight: more are too low to be read on any screen. */
export const CHOSEN_TRACES_MAX = 6;
const NAME_CHARACTERS_MAX = 100;

export const chosenTraces = signal<readonly string[]>(chosenOf(recall(KEY)));

effect(() => remember(KEY, chosenTraces.value.length === 0 ? null : JSON.stringify(chosenTraces.value)));

export function addTrace(channel: string): void {
  const chosen = chosenTraces.peek();
  if (channel === '' || chosen.includes(channel) || chosen.length >= CHOSEN_TRACES_MAX) return;
  chosenTraces.value = [...chosen, channel];
}

export function removeTrace(channel: string): void {
  chosenTraces.value = chosenTraces.peek().filter((each) => each !== channel);
}

/** What was stored may have been written by anybody. */
function chosenOf(text: string | null): readonly string[] {
  try {
    const stored: unknown = JSON.parse(text ?? '[]');
    if (!Array.isArray(stored)) return [];
    const names = stored.filter((name): name is string => typeof name === 'string' && name.length > 0 && name.length < NAME_CHARACTERS_MAX);
    return [...new Set(names)].slice(0, CHOSEN_TRACES_MAX);
  } catch {
    return [];
  }
}
