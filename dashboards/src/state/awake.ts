/** A screen that stays on while the reservoir fills, settles or is held: a browser lets it sleep else, with the gauge on it. */
import { effect, signal } from '@preact/signals';
import { awakeWanted } from './preferences.ts';
import { fill } from './watches.ts';

/** Browsers give it only to pages that come over TLS or from the same computer. */
export const canStayAwake = 'wakeLock' in navigator;
export const isAwake = signal(false);

const isVisible = signal(!document.hidden);
const BUSY = new Set(['filling', 'settling', 'steady', 'falling']);

let lock: WakeLockSentinel | undefined;

export function startAwake(): void {
  if (!canStayAwake) return;
  document.addEventListener('visibilitychange', () => {
    isVisible.value = !document.hidden;
  });
  effect(() => {
    const wanted = awakeWanted.value && isVisible.value && BUSY.has(fill.value?.phase ?? 'unknown');
    if (wanted) void hold();
    else void letGo();
  });
}

let isAsking = false;

async function hold(): Promise<void> {
  if (lock || isAsking) return;
  isAsking = true;
  try {
    lock = await navigator.wakeLock.request('screen');
    isAwake.value = true;
    // The system takes it back when the page is hidden, or its battery runs low.
    lock.addEventListener('release', () => {
      lock = undefined;
      isAwake.value = false;
    });
  } catch {
    isAwake.value = false;
  } finally {
    isAsking = false;
  }
}

async function letGo(): Promise<void> {
  await lock?.release();
}
