/** The question of the page Shots: in its address, so that it can be shared, reloaded in place and gone back to. */
import { computed, signal } from '@preact/signals';
import { listedShots } from '../text/listed-shots.ts';
import { ALL_SHOTS, CHOSEN_MAX, questionOf, type ShotQuestion, searchOf } from '../text/shot-question.ts';
import { rows } from './shot-rows.ts';

export const SHOTS_PATH = '/shots';

export const question = signal<ShotQuestion>(ALL_SHOTS);
export const listed = computed(() => listedShots(rows.value, question.value));

/** Reads the address now and when it is gone back to. An address that asks for nothing leaves what was asked before. */
export function followQuestion(): () => void {
  const read = () => {
    if (location.pathname === SHOTS_PATH) question.value = questionOf(location.search);
  };
  if (location.search !== '') read();
  else writeAddress();
  // The way of the navigation's own link to here, which asks for nothing.
  const keep = () => {
    if (location.search === '') writeAddress();
  };
  addEventListener('popstate', read);
  addEventListener('hashchange', keep);
  return () => {
    removeEventListener('popstate', read);
    removeEventListener('hashchange', keep);
  };
}

/** Another filter or order begins at its first page. */
export function ask(change: Partial<ShotQuestion>): void {
  question.value = { ...question.peek(), page: 1, ...change };
  writeAddress();
}

export function choose(id: string, isChosen: boolean): void {
  const others = question.peek().chosen.filter((each) => each !== id);
  const chosen = isChosen ? [...others, id].slice(-CHOSEN_MAX) : others;
  ask({ chosen, page: question.peek().page });
}

function writeAddress(): void {
  if (location.pathname !== SHOTS_PATH) return;
  try {
    history.replaceState(history.state, '', `${SHOTS_PATH}${searchOf(question.peek())}${location.hash}`);
  } catch {
    // A browser that is asked too often refuses; the next change brings the address up to date.
  }
}
