/** How surprising the shot that is shown was, asked of the host once it is measured and stored. */
import { effect, signal } from '@preact/signals';
import type { MapShotPoint } from '../../../protocol/index.ts';
import { session } from './live-state.ts';
import { askShot } from './map.ts';
import { measuringId, shown } from './shots.ts';

/** Undefined where no map has that shot. */
export const surprise = signal<MapShotPoint>();

/** A shot is in the store a moment after it is on the page; and an edge that comes late closes it again. */
const ASK_AFTER_MS = [1_000, 4_000];

/** Begins to ask, from now on. */
export function followSurprise(): void {
  let timers: readonly ReturnType<typeof setTimeout>[] = [];
  effect(() => {
    const shot = shown.value;
    const id = shot?.id;
    const isMeasured = id !== undefined && id !== measuringId.value && shot?.muzzleVelocityMps !== undefined;
    for (const timer of timers) clearTimeout(timer);
    if (surprise.peek()?.shotId !== id) surprise.value = undefined;
    if (!isMeasured || session.value?.mode !== 'live') return;
    timers = ASK_AFTER_MS.map((ms) => setTimeout(() => void askOf(id), ms));
  });
}

async function askOf(id: string): Promise<void> {
  const answer = await askShot(id);
  if (shown.peek()?.id !== id) return;
  if (answer.kind === 'answer') surprise.value = answer.value;
}
