/** The sounds of an alarm and of a shot, and the phone's shaking: only where the crew switched them on, and once for each. */
import { effect } from '@preact/signals';
import type { LimitEvent, RecordingState } from '../../../protocol/index.ts';
import { soundWanted, vibrationWanted } from './preferences.ts';
import { announced } from './shots.ts';
import { play, ready, soundWaits, type Tone } from './tones.ts';

/** Falling; all far from the hiss of gas. */
const ALARM: readonly Tone[] = [
  { hz: 880, atS: 0 },
  { hz: 660, atS: 0.22 },
];
/** Rising, so that nobody takes it for an alarm. */
const SHOT: readonly Tone[] = [
  { hz: 520, atS: 0 },
  { hz: 1040, atS: 0.22 },
];
/** ms of shaking and of rest between. */
const SHAKES = { alarm: [400, 150, 400, 150, 400], shot: [150] } as const;
/** More limits than any rig has. */
const REMEMBERED_MAX = 512;

/** Time of the event that was sounded last, by the limit's id. */
const sounded = new Map<string, number>();

/** An event that a page hears again, in a snapshot after a broken line, sounds no second time. */
export function soundFor({ id, atNs, audible, state }: LimitEvent): void {
  if (!audible || state !== 'active' || sounded.get(id) === atNs) return;
  if (sounded.size < REMEMBERED_MAX || sounded.has(id)) sounded.set(id, atNs);
  call(ALARM, SHAKES.alarm);
}

/** When the trouble began that was sounded last. */
let recordingSoundedNs: number | undefined;

/** The journal is not being written: sounds once each time that it begins. */
export function soundForRecording(state: RecordingState | undefined): void {
  if (!state || state.problem === '' || state.sinceNs === recordingSoundedNs) return;
  recordingSoundedNs = state.sinceNs;
  call(ALARM, SHAKES.alarm);
}

export function switchSound(on: boolean): void {
  soundWanted.value = on;
  if (on) void play(ALARM);
}

/** Where sound was on at the last visit, the first touch of the page lets it speak. */
export function startSound(): void {
  soundWaits.value = soundWanted.peek();
  const wake = () => {
    if (soundWanted.peek()) void ready();
  };
  addEventListener('pointerdown', wake);
  addEventListener('keydown', wake);
  soundShots();
}

function call(tones: readonly Tone[], shakes: readonly number[]): void {
  if (soundWanted.peek()) void play(tones);
  // Beside the sound: a phone in a glove is felt where it is not heard.
  if (vibrationWanted.peek() && canShake) navigator.vibrate([...shakes]);
}

export const canShake = typeof navigator !== 'undefined' && 'vibrate' in navigator;

export function switchShaking(on: boolean): void {
  vibrationWanted.value = on;
  if (on && canShake) navigator.vibrate([...SHAKES.shot]);
}

/** A shot whose edges are all in, once. */
function soundShots(): void {
  let last = announced.peek()?.id;
  effect(() => {
    const id = announced.value?.id;
    if (id !== undefined && id !== last) call(SHOT, SHAKES.shot);
    last = id ?? last;
  });
}
