/** Session time as the page knows it: what the host last said, and in a live session the time since. */
import { signal } from '@preact/signals';

const said = signal<{ readonly nowNs: number; readonly heardMs: number; readonly live: boolean }>();

/** Counts up four times a second while the page is visible: ages read it, so that they grow. */
export const ageTick = signal(0);
const AGE_TICK_MS = 250;

export function hostSaid(nowNs: number, live: boolean): void {
  said.value = { nowNs, heardMs: performance.now(), live };
}

/** Not reactive: read `ageTick` beside it where the answer must keep up. */
export function sessionNowNs(): number {
  const last = said.peek();
  if (!last) return 0;
  return last.live ? last.nowNs + (performance.now() - last.heardMs) * 1e6 : last.nowNs;
}

export function startAgeTicks(): void {
  const tick = () => {
    ageTick.value += 1;
  };
  let ticking: ReturnType<typeof setInterval> | undefined;
  const follow = () => {
    clearInterval(ticking);
    ticking = document.hidden ? undefined : setInterval(tick, AGE_TICK_MS);
    // What has grown old out of sight says so at once.
    if (ticking !== undefined) tick();
  };
  document.addEventListener('visibilitychange', follow);
  follow();
}
