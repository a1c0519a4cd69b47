/**
 * The moment of a replay in the address of its page, to be shared and opened again. An address is obeyed once, by the
 * page that was opened with it: going back to the page later must not take the replay away from where it is.
 */
import { effect, signal } from '@preact/signals';
import { addressTime, sessionTime, sessionTimeNs } from '../text/session-time.ts';
import { token } from './keys.ts';
import { session } from './live-state.ts';
import { ageTick, sessionNowNs } from './page-clock.ts';
import { command, replay } from './replay.ts';

export const REPLAY_PATH = '/replay';

interface Asked {
  readonly sessionId: string | undefined;
  readonly atNs: number | undefined;
}

/** Of the address that the page was opened with, until it is obeyed. */
let asked: Asked | undefined = location.pathname === REPLAY_PATH ? readAddress(location.search) : undefined;
/** The session that the address names, on a host that could replay it. */
export const askedSession = signal(asked?.sessionId);
/** Why the address could not be obeyed; empty where it was, or asked for nothing. */
export const addressProblem = signal('');

/** Nearer than this a reload finds the replay where it left it, playing on. */
const NEAR_NS = 5e9;
/** An address is to the millisecond. */
const SAME_NS = 2e6;
/** While it plays the address follows so seldom: browsers bound how often one may be changed. */
const FOLLOW_EVERY_MS = 2_000;

export function readAddress(search: string): Asked {
  const query = new URLSearchParams(search);
  return { sessionId: query.get('session') ?? undefined, atNs: sessionTimeNs(query.get('at') ?? '') };
}

/** @returns what ends it */
export function followReplayPlace(): () => void {
  let writtenMs = Number.NEGATIVE_INFINITY;
  const endObeying = effect(() => {
    if (replay.value && session.value) obey(session.value.sessionId);
  });
  const endWriting = effect(() => {
    ageTick.value;
    const state = replay.value;
    const id = session.value?.sessionId;
    if (!state || id === undefined || asked !== undefined || state.seekingNs !== undefined) return;
    if (state.playing && performance.now() - writtenMs < FOLLOW_EVERY_MS) return;
    const search = `?session=${encodeURIComponent(id)}&at=${addressTime(sessionNowNs())}`;
    if (search === location.search || location.pathname !== REPLAY_PATH) return;
    writtenMs = performance.now();
    history.replaceState(history.state, '', `${REPLAY_PATH}${search}${location.hash}`);
  });
  return () => {
    endObeying();
    endWriting();
  };
}

function obey(sessionId: string): void {
  if (!asked) return;
  const { sessionId: wanted, atNs } = asked;
  asked = undefined;
  if (wanted !== undefined && wanted !== sessionId) {
    addressProblem.value = `The address is of session ${wanted}, and this is a replay of ${sessionId}.`;
    return;
  }
  const state = replay.peek();
  if (atNs === undefined || Math.abs(sessionNowNs() - atNs) < (state?.playing ? NEAR_NS : SAME_NS)) return;
  if (token.peek() === undefined) {
    addressProblem.value = `The address is of ${sessionTime(atNs)}. This page may only look, and all pages of a replay show one moment.`;
    return;
  }
  void command({ do: 'pause' }).then(() => command({ do: 'seek', toNs: Math.min(atNs, state?.endNs ?? atNs) }));
}
