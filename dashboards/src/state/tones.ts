/** Short tones, made in the browser. None before the page was touched: no browser allows it. */
import { signal } from '@preact/signals';

export interface Tone {
  readonly hz: number;
  /** From the start. */
  readonly atS: number;
}

const TONE_S = 0.2;
const LOUDNESS = 0.25;

let audio: AudioContext | undefined;
/** Sound is wanted, and the browser still forbids it. */
export const soundWaits = signal(false);

export async function ready(): Promise<AudioContext> {
  audio ??= new AudioContext();
  if (audio.state === 'suspended') {
    soundWaits.value = true;
    await audio.resume();
  }
  soundWaits.value = false;
  return audio;
}

const pending = new Set<readonly Tone[]>();

/** The same tones that come again while the browser still forbids sound are one sound when it allows it. */
export async function play(tones: readonly Tone[]): Promise<void> {
  if (pending.has(tones)) return;
  pending.add(tones);
  const context = await ready().finally(() => pending.delete(tones));
  for (const { hz, atS } of tones) {
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
