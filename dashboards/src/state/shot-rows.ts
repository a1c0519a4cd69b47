/** All shots of the host's data folder as rows: fetched once, and kept up by what the page hears live. */
import { computed, signal } from '@preact/signals';
import type { NoteEvent, ShotExcludedEvent, ShotTableRow } from '../../../protocol/index.ts';
import { rowOfShot } from '../text/shot-row.ts';
import { notes } from './crew.ts';
import { keyHeaders } from './keys.ts';
import { exclusionsHeard, shots } from './shots.ts';

/** `none`: the host keeps no store, as a replay: only the session's own shots are there. */
export type RowsState = { readonly state: 'waiting' | 'none' | 'here' } | { readonly state: 'failed'; readonly why: string };

export const rowsState = signal<RowsState>({ state: 'waiting' });
const stored = signal<readonly ShotTableRow[]>([]);
/** Newest first. */
export const rows = computed<readonly ShotTableRow[]>(() => {
  const live = new Map(shots.value.map((shot) => [shot.id, rowOfShot(shot)]));
  const said = new Map(exclusionsHeard.value.map((event) => [event.shotId, event]));
  const noted = notesByShot(notes.value);
  const all = stored.value.map((row) => {
    const now = live.get(row.id);
    live.delete(row.id);
    const own = noted.get(row.id);
    if (!now && !own && !said.has(row.id)) return row;
    return withSaid({ ...row, ...now, notes: union(row.notes, own) }, said.get(row.id));
  });
  const fresh = [...live.values()].map((row) => withSaid({ ...row, notes: noted.get(row.id) ?? [] }, said.get(row.id)));
  return fresh.length === 0 ? all : [...fresh, ...all].sort((a, b) => (a.firedAt < b.firedAt ? 1 : a.firedAt > b.firedAt ? -1 : 0));
});

let asked = 0;

/** What is shown stays until the answer is here. */
export async function fetchRows(): Promise<void> {
  asked += 1;
  const mine = asked;
  try {
    const answer = await fetch('/api/shot-table', { headers: keyHeaders() });
    if (mine !== asked) return;
    if (answer.status === 404) rowsState.value = { state: 'none' };
    else if (!answer.ok) throw new Error(`the host answered ${answer.status}`);
    else {
      const { shots: fetched } = (await answer.json()) as { readonly shots: readonly ShotTableRow[] };
      if (mine !== asked) return;
      stored.value = fetched;
      rowsState.value = { state: 'here' };
    }
  } catch (error) {
    if (mine === asked) rowsState.value = { state: 'failed', why: error instanceof Error ? error.message : String(error) };
  }
}

function withSaid(row: ShotTableRow, event: ShotExcludedEvent | undefined): ShotTableRow {
  if (!event) return row;
  const { excluded, reason, who } = event;
  return { ...row, excluded, excludedBecause: excluded ? reason : '', excludedBy: excluded ? who : '' };
}

/** Oldest first. */
function notesByShot(newestFirst: readonly NoteEvent[]): ReadonlyMap<string, readonly string[]> {
  const byShot = new Map<string, string[]>();
  for (const { shotId, text } of newestFirst.toReversed()) {
    if (shotId === undefined) continue;
    const known = byShot.get(shotId);
    if (known) known.push(text);
    else byShot.set(shotId, [text]);
  }
  return byShot;
}

/** The table may have been fetched before or after a note was heard. */
const union = (kept: readonly string[], own: readonly string[] = []): readonly string[] => [
  ...kept,
  ...own.filter((text) => !kept.includes(text)),
];
