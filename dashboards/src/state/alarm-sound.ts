/** The sound of an alarm: two short tones, made here. Only where the crew switched it on, and once for each alarm. */
import { signal } from '@preact/signals';
import type { LimitEvent, RecordingState } from '../../../protocol/index.ts';
import { soundWanted } from './preferences.ts';

/** Hz and s from the start; both far from the hiss of gas. */
const TONES = [
  { hz: 880, atS: 0 },
  { hz: 660, atS: 0.22 },
] as const;
const TONE_S = 0.2;
const LOUDNESS = 0.25;
/** More limits than any rig has. */
const REMEMBERED_MAX = 512;

let audio: AudioContext | undefined;
/** Time of the event that was sounded last, by the limit's id. */
const sounded = new Map<string, number>();
/** A browser makes no sound before the page was touched. */
export const soundWaits = signal(false);

/** An event that a page hears again, in a snapshot after a broken line, sounds no second time. */
export function soundFor({ id, atNs, audible, state }: LimitEvent): void {
  if (!audible || state !== 'active' || sounded.get(id) === atNs) return;
  if (sounded.size < REMEMBERED_MAX || sounded.has(id)) sounded.set(id, atNs);
  if (soundWanted.peek()) void play();
}

/** When the trouble began that was sounded last. */
let recordingSoundedNs: number | undefined;

/** The journal is not being written: sounds once each time that it begins. */
export function soundForRecording(state: RecordingState | undefined): void {
  if (!state || state.problem === '' || state.sinceNs === recordingSoundedNs) return;
  recordingSoundedNs = state.sinceNs;
  if (soundWanted.peek()) void play();
}

export function switchSound(on: boolean): void {
  soundWanted.value = on;
  if (on) void play();
}

/** Where sound was on at the last visit, the first touch of the page lets it speak. */
export function startSound(): void {
  soundWaits.value = soundWanted.peek();
  const wake = () => {
    if (soundWanted.peek()) void ready();
  };
  addEventListener('pointerdown', wake);
  addEventListener('keydown', wake);
}

async function ready(): Promise<AudioContext> {
  audio ??= new AudioContext();
  if (audio.state === 'suspended') {
    soundWaits.value = true;
    await audio.resume();
  }
  soundWaits.value = false;
  return audio;
}

/** Alarms that come while the browser still forbids sound are one sound when it allows it. */
let isPending = false;

async function play(): Promise<void> {
  if (isPending) return;
  isPending = true;
  const context = await ready().finally(() => {
    isPending = false;
  });
  for (const { hz, atS } of TONES) {
    const tone = context.createOscillator();
    const volume = context.createGain();
    const startS = context.currentTime + atS;
    tone.frequency.value = hz;
    volume.gain.value = LOUDNESS;
    tone.connect(volume).connect(context.destination);
    tone.start(startS);
    tone.stop(startS + TONE_S);
  }
}
