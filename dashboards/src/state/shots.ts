/** The shots that the page knows, which one is shown, and fetching what it does not hold. */
import { computed, signal } from '@preact/signals';
import { withCamerasAsked } from '../../../protocol/asked.ts';
import type { Shot, ShotCameraEvent, ShotEvent, ShotExcludedEvent } from '../../../protocol/index.ts';
import { withExclusion } from '../text/with-exclusion.ts';
import { keyHeaders } from './keys.ts';

/** In the table; older ones stay in the store. */
const SHOTS_MAX = 100;
const LISTED = 50;

/** Newest first. Most are without traces. */
export const shots = signal<readonly Shot[]>([]);
/** Chosen by the address; undefined = follow the newest. */
export const chosenId = signal<string | undefined>(undefined);
/** Fired, and its edges still coming: what is missing now says nothing of the shot. */
export const measuringId = signal<string | undefined>(undefined);
/** Spoken by screen readers. */
export const announced = signal<Shot | undefined>(undefined);

export type Fetching = { readonly id: string; readonly state: 'busy' | 'failed'; readonly message: string };
export const fetching = signal<Fetching | undefined>(undefined);
export const listProblem = signal('');

/** The one shown: with its traces once they are here. */
export const shown = computed(() => {
  const id = chosenId.value;
  return id === undefined ? shots.value[0] : shots.value.find((shot) => shot.id === id);
});

/** How often all was forgotten: a list that was asked for before that says what is not known any more. */
let forgotten = 0;

export function forgetShots(): void {
  forgotten += 1;
  shots.value = [];
}

/** @param newestPhase  of the first of them */
export function shotsFromSnapshot(recent: readonly Shot[], newestPhase: ShotEvent['phase'] | undefined): void {
  exclusionsHeard.value = [];
  measuringId.value = newestPhase === 'opened' ? recent[0]?.id : undefined;
  mergeShots(recent);
  void fetchList();
}

export function shotArrived(shot: Shot, phase: ShotEvent['phase']): void {
  if (phase === 'opened') measuringId.value = shot.id;
  else if (measuringId.peek() === shot.id) measuringId.value = undefined;
  // Told anew, a shot comes without its exclusion, which was said of it beside; a list has it.
  const exclusion = shot.exclusion ?? shots.peek().find(({ id }) => id === shot.id)?.exclusion;
  mergeShots([exclusion ? { ...shot, exclusion } : shot]);
  if (phase !== 'opened') announced.value = shot;
}

/** Said of any shot of the data folder, oldest first; which of them the page lists is no matter. At most so many. */
export const exclusionsHeard = signal<readonly ShotExcludedEvent[]>([]);
const EXCLUSIONS_MAX = 500;

/** A shot is left out, or taken in again. */
export function exclusionHeard(event: ShotExcludedEvent): void {
  exclusionsHeard.value = [...exclusionsHeard.peek().filter(({ shotId }) => shotId !== event.shotId), event].slice(-EXCLUSIONS_MAX);
  shots.value = shots.value.map((shot) => withExclusion(shot, event));
}

/** A camera has something of a shot. */
export function cameraTold({ shotId, of }: ShotCameraEvent): void {
  shots.value = shots.value.map((shot) => {
    if (shot.id !== shotId) return shot;
    const others = (shot.cameras ?? []).filter(({ camera }) => camera !== of.camera);
    return withCamerasAsked({ ...shot, cameras: [...others, of].sort((a, b) => (a.camera < b.camera ? -1 : 1)) });
  });
}

/** Reads `#shot=ID` now and at each change, an empty one too; the name of a section chooses no shot. Fetches the shot where the page does not hold it whole. */
export function followAddress(): void {
  const read = () => {
    const match = /^#shot=(.+)$/.exec(location.hash);
    if (!match && location.hash.length > 1) return;
    chosenId.value = match?.[1] === undefined ? undefined : decoded(match[1]);
    if (chosenId.value !== undefined) void fetchWhole(chosenId.value);
  };
  addEventListener('hashchange', read);
  read();
}

export function followNewest(): void {
  location.hash = '';
}

export function addressOf(id: string): string {
  return `#shot=${encodeURIComponent(id)}`;
}

/** @param id  fetched unless its traces are here */
export async function fetchWhole(id: string): Promise<void> {
  const known = shots.peek().find((shot) => shot.id === id);
  if (known && known.traces.length > 0) return;
  fetching.value = { id, state: 'busy', message: '' };
  try {
    const answer = await fetch(`/api/shots/${encodeURIComponent(id)}`, { headers: keyHeaders() });
    if (!answer.ok) throw new Error(answer.status === 404 ? 'the host has no such shot' : `the host answered ${answer.status}`);
    mergeShots([(await answer.json()) as Shot]);
    if (fetching.value?.id === id) fetching.value = undefined;
  } catch (error) {
    if (fetching.value?.id === id)
      fetching.value = { id, state: 'failed', message: error instanceof Error ? error.message : String(error) };
  }
}

async function fetchList(): Promise<void> {
  const asked = forgotten;
  try {
    const answer = await fetch(`/api/shots?limit=${LISTED}`, { headers: keyHeaders() });
    if (!answer.ok) throw new Error(`the host answered ${answer.status}`);
    const list = (await answer.json()) as readonly Shot[];
    if (asked !== forgotten) return;
    mergeShots(list);
    listProblem.value = '';
  } catch (error) {
    listProblem.value = error instanceof Error ? error.message : String(error);
  }
}

function mergeShots(incoming: readonly Shot[]): void {
  const byId = new Map(shots.peek().map((shot) => [shot.id, shot]));
  for (const shot of incoming) {
    const before = byId.get(shot.id);
    // A list comes without traces: it must not take away those that are here.
    const traces = shot.traces.length === 0 && before ? before.traces : shot.traces;
    // Told anew, a shot comes without what was said of it beside.
    const cameras = shot.cameras ?? before?.cameras;
    byId.set(shot.id, withCamerasAsked({ ...shot, traces, ...(cameras ? { cameras } : {}) }));
  }
  shots.value = [...byId.values()].sort((a, b) => (a.firedAt < b.firedAt ? 1 : -1)).slice(0, SHOTS_MAX);
}

function decoded(text: string): string | undefined {
  try {
    return decodeURIComponent(text);
  } catch {
    return undefined;
  }
}
