/** The shots that are compared, whole: from the page's own where it has them with their traces, else fetched. */
import { computed, effect, signal } from '@preact/signals';
import type { Shot } from '../../../protocol/index.ts';
import { withExclusion } from '../text/with-exclusion.ts';
import { keyHeaders } from './keys.ts';
import { session } from './live-state.ts';
import { askRigOf } from './rigs.ts';
import { question } from './shot-list.ts';
import { exclusionsHeard, shots } from './shots.ts';

type Fetched = { readonly shot: Shot } | { readonly problem: string } | undefined;

/** Of the chosen ones alone. */
const fetched = signal<ReadonlyMap<string, Fetched>>(new Map());

export interface ChosenShot {
  readonly id: string;
  readonly shot?: Shot;
  readonly problem?: string;
}

export const chosenShots = computed<readonly ChosenShot[]>(() =>
  question.value.chosen.map((id) => {
    const got = fetched.value.get(id);
    const live = shots.value.find((shot) => shot.id === id);
    if (live) return { id, shot: live.traces.length === 0 && got && 'shot' in got ? { ...live, traces: got.shot.traces } : live };
    if (!got) return { id };
    if ('problem' in got) return { id, problem: got.problem };
    const said = exclusionsHeard.value.find(({ shotId }) => shotId === id);
    return { id, shot: said ? withExclusion(got.shot, said) : got.shot };
  }),
);

/** Fetches what is chosen for as long as the page is shown. */
export function followChosen(): () => void {
  let of = session.peek();
  return effect(() => {
    const { chosen } = question.value;
    const now = session.value;
    // Made anew with each snapshot: what was said of them while the line was down is not known otherwise.
    const known: ReadonlyMap<string, Fetched> = of === undefined || of === now ? fetched.peek() : new Map();
    of = now;
    const wanted = chosen.filter((id) => !known.has(id));
    if (wanted.length === 0) return;
    fetched.value = new Map(chosen.map((id) => [id, known.get(id)]));
    for (const id of wanted) void fetchShot(id);
  });
}

async function fetchShot(id: string): Promise<void> {
  const got = await askShot(id);
  if ('shot' in got) void askRigOf(got.shot.sessionId);
  // Meanwhile another may have been chosen in its place.
  if (fetched.peek().has(id)) fetched.value = new Map([...fetched.peek(), [id, got]]);
}

async function askShot(id: string): Promise<NonNullable<Fetched>> {
  try {
    const answer = await fetch(`/api/shots/${encodeURIComponent(id)}`, { headers: keyHeaders() });
    if (answer.status === 404) return { problem: 'the host has no such shot' };
    if (!answer.ok) return { problem: `the host answered ${answer.status}` };
    return { shot: (await answer.json()) as Shot };
  } catch (error) {
    return { problem: error instanceof Error ? error.message : String(error) };
  }
}
