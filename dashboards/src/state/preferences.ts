/** What this browser remembers: units, theme, and how it may make itself heard. Without storage it forgets, and still works. */
import { effect, signal } from '@preact/signals';
import type { DisplaySystem } from '../../../host/units/index.ts';
import { recall, remember } from './storage.ts';

export type Theme = 'auto' | 'light' | 'dark';

export const units = signal<DisplaySystem>(recall('postern.units') === 'US' ? 'US' : 'SI');
export const theme = signal<Theme>(themeOf(recall('postern.theme')));
/** Off until a person wants it. */
export const soundWanted = signal(recall('postern.sound') === 'on');
export const vibrationWanted = signal(recall('postern.vibration') === 'on');
export const voiceWanted = signal(recall('postern.voice') === 'on');
/** Which of the steps at which the reservoir is spoken, coarse to fine. */
export const voiceStep = signal(stepOf(recall('postern.voice-step')));
export const awakeWanted = signal(recall('postern.awake') !== 'off');
export const windowS = signal(60);

/** The theme in use, the system's own wish followed under `auto`. */
export const darkWished = matchMedia('(prefers-color-scheme: dark)');
export const isDark = signal(false);

/** The sheet, as in styles/tokens.css. */
const BAR = { light: '#fffefa', dark: '#111b23' } as const;

export function startPreferences(): void {
  const systemDark = signal(darkWished.matches);
  darkWished.addEventListener('change', (event) => {
    systemDark.value = event.matches;
  });
  effect(() => remember('postern.units', units.value));
  for (const [key, wanted] of [
    ['postern.sound', soundWanted],
    ['postern.vibration', vibrationWanted],
    ['postern.voice', voiceWanted],
    ['postern.awake', awakeWanted],
  ] as const) {
    effect(() => remember(key, wanted.value ? 'on' : 'off'));
  }
  effect(() => remember('postern.voice-step', String(voiceStep.value)));
  effect(() => {
    remember('postern.theme', theme.value);
    const dark = theme.value === 'dark' || (theme.value === 'auto' && systemDark.value);
    document.documentElement.dataset.theme = dark ? 'dark' : 'light';
    isDark.value = dark;
    // The bar that a browser draws above the page.
    document.querySelector('meta[name=theme-color]')?.setAttribute('content', dark ? BAR.dark : BAR.light);
  });
}

function themeOf(text: string | null): Theme {
  return text === 'light' || text === 'dark' ? text : 'auto';
}

function stepOf(text: string | null): number {
  return text !== null && /^[0-3]$/.test(text) ? Number(text) : 1;
}
